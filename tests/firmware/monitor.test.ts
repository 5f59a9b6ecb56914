import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { RESET } from './support/chip.ts';
import { monitorBus, MonitorModel } from './support/monitor-model.ts';
import { expectUnbroken, samplesOf, startLogger } from './support/logger.ts';

const COARSE_OHM = 0.002;
const FINE_OHM = 0.1;

describe('the monitor logger', () => {
  test("agrees with the monitor's data sheet example: calibration 2560, 20 mV, 11.98 V, 10.000 A, 119.80 W", () => {
    // TI SBOS547 p. 15-16: R 2 milliohm, current step 1 mA. The sheet prints 119.82 W; 4792 x 25 mW is 119.80 W.
    const monitor = new MonitorModel(() => 0.02, () => 11.98);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.2);
    expect(monitor.read(5)).toBe(2560); // written by the logger
    expect([1, 2, 3, 4].map((register) => monitor.read(register))).toEqual([8000, 9584, 4792, 10_000]);
    const [current, voltage] = log.of('hello')[0]!.hello.channels;
    const samples = samplesOf(log, 1000);
    expect(new Set(samples.current)).toEqual(new Set([8000]));
    expect(new Set(samples.voltage)).toEqual(new Set([9584]));
    const amperes = (8000 - current!.zero) * current!.scale;
    const volts = (9584 - voltage!.zero) * voltage!.scale;
    expect(amperes).toBeCloseTo(10, 9);
    expect(volts).toBeCloseTo(11.98, 9);
    expect(amperes * volts).toBeCloseTo(4792 * 0.025, 6);
  });

  test.each([
    { jumper: undefined, rateHz: 1000, conversionS: 204e-6 },
    { jumper: '500k' as const, rateHz: 1000, conversionS: 204e-6 },
    { jumper: '115k2' as const, rateHz: 500, conversionS: 588e-6 },
  ])('reads every conversion once at $rateHz Hz (jumper: $jumper) and dates it within 3 us', ({ jumper, rateHz, conversionS }) => {
    const rampVPerS = 0.05; // 20 counts a millisecond
    const monitor = new MonitorModel((t) => rampVPerS * (t - 0.5), (t) => 10 + t); // volts rise by 0.8 steps a millisecond
    const { chip, log } = startLogger({ image: 'monitor', jumper, bus: monitorBus({ 0x40: monitor }) });
    chip.run(1);
    expect(log.of('hello')[0]!.hello.rate_hz).toBe(rateHz);
    expectUnbroken(log, rateHz);
    const samples = samplesOf(log, rateHz);
    expect(samples.current.length).toBeGreaterThan(0.88 * rateHz);
    for (const [i, timeS] of samples.timeS.entries()) {
      const middleS = monitor.conversionsS[i]! + conversionS / 2 - chip.clockStartS;
      expect(Math.abs(timeS - middleS)).toBeLessThan(3e-6);
      expect(Math.abs(samples.current[i]! - (rampVPerS * (chip.clockStartS + timeS - 0.5)) / 2.5e-6)).toBeLessThan(1);
      // The bus is converted after the shunt, and reckoned back to its moment. The first one has none before it.
      if (i > 0) expect(Math.abs(samples.voltage[i]! - (10 + chip.clockStartS + timeS) / 1.25e-3)).toBeLessThan(1.1);
    }
  });

  test('carries negative currents and the ends of the scale unchanged', () => {
    const steps = [-0.08192, -0.02, -2.5e-6, 0, 2.5e-6, 0.0819175];
    const monitor = new MonitorModel((t) => steps[Math.min(steps.length - 1, Math.floor(t / 0.05))]!, () => 12);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.35);
    for (const count of [-32768, -8000, -1, 0, 1, 32767]) expect(samplesOf(log, 1000).current).toContain(count);
    expect(log.codes()).toEqual(['start', 'range']); // the full-scale readings at the start, reported once
  });
});

/** 20 ohm and 22 uF before each monitor, and the 0.5 ms that the bypass takes to open (build guide). */
const FILTER_S = 20 * 22e-6;
const GATE_S = 0.5e-3;

describe('two shunts and range switching', () => {
  /**
   * Both shunts in the same circuit. The fine one carries the current only while its bypass is open, and its filter follows that step
   * as a first-order low-pass does; the rectifier across it holds it below 0.8 V.
   */
  function circuit(currentA: (timeS: number) => number, jumper?: '500k' | '115k2', options: Partial<Parameters<typeof startLogger>[0]> = {}) {
    const coarse = new MonitorModel((t) => currentA(t) * COARSE_OHM, () => 12.6);
    const fine = new MonitorModel(() => 0, () => 12.6);
    const logger = startLogger({ image: 'monitor', jumper, bus: monitorBus({ 0x40: coarse, 0x41: fine }), ...options });
    let changedS = -1;
    let closed = true;
    let fromV = 0;
    fine.shuntV = (t) => {
      const across = (isClosed: boolean): number => (isClosed ? 0 : Math.max(-0.8, Math.min(0.8, currentA(t) * FINE_OHM)));
      const nowClosed = logger.chip.bypassClosed;
      if (nowClosed !== closed) {
        fromV = across(closed);
        changedS = t;
        closed = nowClosed;
      }
      const sinceS = t - changedS - GATE_S;
      return sinceS < 0 ? fromV : across(closed) + (fromV - across(closed)) * Math.exp(-sinceS / FILTER_S);
    };
    return { ...logger, coarse, fine };
  }

  /** Every sample in amperes by the hello line before it. */
  function amperes(log: ReturnType<typeof circuit>['log']): { timeS: number; currentA: number; scale: number }[] {
    const samples = [];
    let channel;
    let rateHz = 0;
    for (const line of log.lines) {
      if (line.kind === 'hello') {
        channel = line.hello.channels[0]!;
        rateHz = line.hello.rate_hz;
      }
      if (line.kind !== 'block') continue;
      for (const [i, count] of line.current.entries()) {
        samples.push({ timeS: line.tUs / 1e6 + i / rateHz, currentA: (count - channel!.zero) * channel!.scale, scale: channel!.scale });
      }
    }
    return samples;
  }

  test('a drain of 30 mA is read in steps of 25 uA once the current has been small for 2 s', () => {
    const { chip, log } = circuit(() => 0.03);
    chip.run(2.5);
    const hellos = log.of('hello').map((line) => line.hello.channels[0]!.scale);
    expect(hellos).toEqual([0.00125, 0.000025]);
    const samples = amperes(log);
    const firstFine = samples.find((sample) => sample.scale === 0.000025)!;
    expect(firstFine.timeS).toBeGreaterThan(2);
    expect(firstFine.timeS).toBeLessThan(2.05);
    for (const sample of samples) expect(Math.abs(sample.currentA - 0.03)).toBeLessThanOrEqual(sample.scale * 1.001);
    expect(chip.bypassClosed).toBe(false);
  });

  /** The table of the line protocol page: what it states is measured here. */
  const page = readFileSync(new URL('../../firmware-notes/line-protocol.md', import.meta.url), 'utf8');
  const stated = [...page.matchAll(/^\| (\d+) \| (\d+) \| ([\d.]+) \| ([\d.]+) \|$/gm)].map(([, baud, rateHz, toFineMs, toCoarseMs]) => ({
    baud: Number(baud),
    jumper: ({ 500000: '500k', 115200: '115k2' } as const)[Number(baud)],
    rateHz: Number(rateHz),
    toFineMs: Number(toFineMs),
    toCoarseMs: Number(toCoarseMs),
  }));

  test('the page states a hole for each of the three speeds', () => {
    expect(stated.map((row) => row.baud)).toEqual([1_000_000, 500_000, 115_200]);
  });

  test.each(stated)('at $baud baud the hole is at most $toFineMs ms to the fine range and $toCoarseMs ms back, with no wrong sample around it', ({ jumper, rateHz, toFineMs, toCoarseMs }) => {
    const holesMs: number[][] = [];
    // wake-ups at moments that lie differently to the logger's beat
    for (const wakesAtS of [2.3, 2.30081]) {
      const { chip, log } = circuit((t) => (t < wakesAtS ? 0.03 : 5), jumper);
      chip.run(2.5);
      expect(log.of('hello').map((line) => line.hello.channels[0]!.scale)).toEqual([0.00125, 0.000025, 0.00125]);
      expect(log.of('damaged')).toEqual([]);
      const samples = amperes(log);
      const first5A = samples.find((sample) => Math.abs(sample.currentA - 5) < 0.01)!;
      expect(first5A.timeS + chip.clockStartS - wakesAtS).toBeLessThan((toCoarseMs + 1000 / rateHz) / 1000);
      // Only the conversion during which the current rose may lie between the two.
      expect(samples.filter((sample) => Math.abs(sample.currentA - 5) > 0.01 && Math.abs(sample.currentA - 0.03) > 0.002).length).toBeLessThanOrEqual(1);
      expect(chip.bypassClosed).toBe(true);
      const blocks = log.of('block');
      expect(blocks.map((block) => block.seq)).toEqual(blocks.map((_, index) => index));
      holesMs.push(
        blocks
          .slice(1)
          .map((block, i) => (block.tUs - blocks[i]!.tUs) / 1000 - (blocks[i]!.current.length * 1000) / rateHz)
          .filter((holeMs) => holeMs !== 0),
      );
    }
    for (const holes of holesMs) expect(holes.length).toBe(2);
    expect(Math.max(...holesMs.map((holes) => holes[0]!))).toBe(toFineMs);
    expect(Math.max(...holesMs.map((holes) => holes[1]!))).toBe(toCoarseMs);
  });

  test('a current just above the return limit stays on the coarse shunt', () => {
    const { chip, log } = circuit(() => 0.42);
    chip.run(2.5);
    expect(log.of('hello').length).toBe(1);
  });

  test('a current that pulses above the limit every second never reaches the fine range', () => {
    const { chip, log } = circuit((t) => (t % 1 < 0.01 ? 2 : 0.03));
    chip.run(3.5);
    expect(log.of('hello').length).toBe(1);
  });

  describe('its zero', () => {
    /** The answer to `zero` with a current that was the same from the start; with the fine range when it is small enough. */
    function answer(currentA: (timeS: number) => number, command = 'zero') {
      const { chip, log } = circuit(currentA);
      chip.run(2.4);
      chip.send(`${command}\n`);
      chip.run(1.3);
      const { code, text } = log.of('notice').at(-1)!;
      return { said: `${code},${text}`, hello: log.of('hello').at(-1)!.hello.channels[0]! };
    }

    test('takes an offset of the fine shunt off and tells it in amperes, but not a drain of 30 mA', () => {
      const taken = answer(() => 0.0002);
      expect(taken.said).toMatch(/^zero,moved by 0\.000(19|20)\d* A to [78]\.\d\d counts$/);
      expect(taken.hello.zero).toBeCloseTo(8, 0);
      expect(answer(() => 0.03).said).toMatch(/^refused,zero: reads 0\.0(29|30)\d+ A, limit 0\.00100 A; no current\? zero force$/);
      expect(answer(() => 0.03, 'zero force').said).toMatch(/^refused,zero: reads 0\.0(29|30)\d+ A, limit 0\.00819 A$/);
    });

    test('is refused on the coarse shunt above 50 mA, far below 1 % of its range, and while the current moves', () => {
      expect(answer(() => 3).said).toMatch(/^refused,zero: reads (2\.99|3\.00)\d+ A, limit 0\.05000 A/);
      expect(answer((t) => 1 + 0.2 * Math.sin(20 * t)).said).toMatch(/^refused,zero: the reading moves by 0\.(39|40)\d+ A$/);
    });
  });

  test('prints the range that its pins allow: 81.92 mV at the shunt, and the bus up to where the suppressor begins, not to the 40.96 V of its scale', () => {
    const { chip, log } = circuit(() => 1);
    chip.run(0.1);
    const [current, voltage] = log.of('hello')[0]!.hello.channels;
    expect(current!.range).toEqual([-40.959, 40.959]);
    expect(voltage!.range[1]).toBeGreaterThan(31.3);
    expect(voltage!.range[1]).toBeLessThanOrEqual(31.4);
  });

  test('one monitor alone never changes its range', () => {
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: new MonitorModel(() => 30e-3 * COARSE_OHM, () => 12.6) }) });
    chip.run(2.5);
    expect(log.of('hello').length).toBe(1);
    expect(chip.bypassClosed).toBe(true);
  });

  describe('the bypass', () => {
    /** A logger that has gone to its fine range, with the bypass open. */
    function fineRange(options: Parameters<typeof circuit>[2] = {}) {
      const logger = circuit(() => 0.03, undefined, options);
      logger.chip.run(2.4);
      expect(logger.chip.bypassClosed).toBe(false);
      return logger;
    }

    /** It must be closed now, and at every look in the time that follows. */
    function expectClosed(chip: ReturnType<typeof circuit>['chip'], durationS: number): void {
      expect(chip.bypassClosed).toBe(true);
      for (const endS = chip.timeS + durationS; chip.timeS < endS; chip.run(0.002)) expect(chip.bypassClosed).toBe(true);
    }

    test('is closed without power and in the boot loader, where every pin is an input, and through the first two seconds of the program', () => {
      const { chip } = circuit(() => 0.03);
      expect(chip.timeS).toBe(0); // no instruction has run
      expectClosed(chip, 2);
    });

    test.each([
      ['the reset pin', RESET.external],
      ['a brown-out', RESET.brownOut],
      ['power taken away and back', RESET.powerOn],
    ])('closes at once with %s and stays closed for two seconds', (_, cause) => {
      const { chip } = fineRange();
      chip.reset(cause);
      expectClosed(chip, 2);
    });

    test('closes when the program stands still: the watchdog strikes after a second', () => {
      const { chip, log } = fineRange();
      chip.derail();
      chip.run(1.3);
      expect(log.codes()).toContain('watchdog');
      expectClosed(chip, 1);
    });

    test('closes before the 5 V are too low for the chip, as the boards come from the shop with a brown-out reset at 2.7 V', () => {
      let supplyV = 5;
      const { chip, log } = fineRange({ inputs: { supplyV: () => supplyV } });
      supplyV = 3.9;
      chip.run(0.1);
      expect(log.of('notice').at(-1)).toMatchObject({ code: 'supply-low', text: '5 V is 21 percent low: no samples' });
      const before = samplesOf(log, 1000).current.length;
      expectClosed(chip, 2.5);
      expect(samplesOf(log, 1000).current.length).toBe(before);
      supplyV = 5;
      chip.run(0.5);
      expect(log.codes().slice(-2)).toEqual(['supply-low', 'supply-ok']);
      expect(amperes(log).at(-1)!.currentA).toBeCloseTo(0.03, 2);
    });

    test('closes on a wake-up while the filter of the fine range still settles', () => {
      let currentA = 0.03;
      const { chip } = circuit(() => currentA);
      while (chip.bypassClosed) chip.run(0.0001);
      currentA = 5;
      chip.run(0.006);
      expect(chip.bypassClosed).toBe(true);
    });
  });
});
