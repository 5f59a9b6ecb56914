import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/daemon/sources/open-source.ts';
import type { ReplayTrace } from '../../../src/daemon/sources/replay-source.ts';
import { listPorts } from '../../../src/daemon/sources/serial/ports.ts';
import { findScenario, SCENARIOS } from '../../../src/simulate/scenarios.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { helloLine, virtualLogger } from '../../core/decode/kit.ts';
import { DeskDevice, DeskPorts, HandTiming, watch } from './kit.ts';

const motor = SCENARIOS.find((scenario) => scenario.test === 'actuation')!;
const parked = SCENARIOS.find((scenario) => scenario.fuses.length > 0)!;

describe('the virtual vehicle as a source', () => {
  it('is paced by the clock and gives what the scenario gives', async () => {
    const timing = new HandTiming();
    const source = openSource(`sim:${motor.name}?seed=7`, { timing });
    const all = watch();
    source.start(all);
    await timing.pass(3000);
    const alone = findScenario(motor.name)!.start(7).next(all.timeS.length);
    expect(all.timeS.length).toBeCloseTo(3 * motor.rateHz, -2);
    expect(all.timeS).toEqual([...alone.timeS]);
    expect(all.currentA).toEqual([...alone.currentA]);
    expect(all.states.at(-1)!.state).toBe('live');
    expect(all.loggers[0]).toMatchObject({ kind: 'virtual', rateHz: motor.rateHz, controls: { hasSwitch: true, scenario: motor.name } });
    await source.stop();
    expect(timing.timers).toBe(0);
  });

  it('runs faster when asked to', async () => {
    const timing = new HandTiming();
    const source = openSource(`sim:${motor.name}?speed=4`, { timing });
    const all = watch();
    source.start(all);
    await timing.pass(1000);
    expect(all.timeS.at(-1)!).toBeGreaterThan(3.8);
    expect(all.timeS.at(-1)!).toBeLessThan(4.1);
    await source.stop();
  });

  it('never makes up more than half a second after the computer was asleep', async () => {
    const timing = new HandTiming();
    const source = openSource(`sim:${motor.name}`, { timing });
    const all = watch();
    source.start(all);
    await timing.pass(1000);
    timing.skip(3_600_000);
    await timing.pass(1000);
    expect(all.timeS.at(-1)!).toBeLessThan(2.6);
    await source.stop();
  });

  it('gives its switch and its fuses into the hand of the page', async () => {
    const timing = new HandTiming();
    const source = openSource(`sim:${motor.name}`, { timing });
    expect(source.control({ do: 'switch', position: 'off' })).toMatchObject({ ok: false });
    source.start(watch());
    expect(source.control({ do: 'switch', position: 'forward' })).toEqual({ ok: true });
    await source.stop();
    const asleep = openSource(`sim:${parked.name}`, { timing });
    asleep.start(watch());
    expect(asleep.control({ do: 'fuse', label: parked.fuses[0]!, fitted: false })).toEqual({ ok: true });
    expect(asleep.control({ do: 'fuse', label: 'F999', fitted: false })).toMatchObject({ ok: false });
    expect(asleep.control({ do: 'switch', position: 'forward' })).toMatchObject({ ok: false });
    await asleep.stop();
  });
});

const RECORD = { title: 'before', logger: { name: 'bench', serial: 'B7', firmware: null, source: '' }, rate_hz: 100, channels: [{ name: 'current', unit: 'A', range: [-30, 30], resolution: 0.001 }] } as unknown as TraceRecord;

function recorded(startS: number, count: number): SampleBlock {
  return { timeS: Float64Array.from({ length: count }, (_, n) => startS + n / 100), currentA: Float32Array.from({ length: count }, (_, n) => n), voltageV: null };
}

function replayTrace(): ReplayTrace & { closed: boolean } {
  return {
    record: RECORD,
    gaps: [{ startS: 11.99, endS: 14 }],
    marks: [],
    firstS: 10,
    hasVoltage: false,
    closed: false,
    async *blocks() {
      yield recorded(10, 100);
      yield recorded(11, 100);
      yield recorded(14, 50);
    },
    async close() {
      this.closed = true;
    },
  };
}

/** The trace as a source, after half a second. */
async function replayed(spec: string) {
  const timing = new HandTiming();
  const trace = replayTrace();
  const source = openSource(spec, { timing, openTrace: async () => trace });
  const all = watch();
  source.start(all);
  await timing.pass(500);
  return { timing, trace, source, all };
}

describe('a recorded trace as a source', () => {
  it('is played at its own pace, with its gaps, and ends', async () => {
    const { timing, trace, source, all } = await replayed('replay:before');
    expect(all.timeS.length).toBeCloseTo(50, -1);
    expect(all.timeS[0]).toBe(0);
    await timing.pass(2500);
    expect(all.timeS).toHaveLength(200);
    expect(all.gaps).toEqual([]);
    await timing.pass(2500);
    expect(all.timeS).toHaveLength(250);
    expect(all.gaps).toEqual([{ startS: expect.closeTo(1.99, 6), endS: 4 }]);
    expect(all.states.at(-1)!.state).toBe('ended');
    expect(trace.closed).toBe(true);
    expect(all.loggers[0]).toMatchObject({ kind: 'replay', serial: 'B7', rateHz: 100 });
    await source.stop();
    expect(timing.timers).toBe(0);
  });

  it('can be stopped in its middle', async () => {
    const { trace, source, all } = await replayed('replay:before?speed=2');
    await source.stop();
    expect(all.timeS.length).toBeCloseTo(100, -1);
    expect(trace.closed).toBe(true);
  });

  it('that cannot be read says why', async () => {
    const source = openSource('replay:/no/such/trace.csv');
    const all = watch();
    source.start(all);
    await all.until((seen) => seen.states.at(-1)?.state === 'failed', 'failed');
    expect(all.states.at(-1)!.text).toContain('/no/such/trace.csv');
    await source.stop();
  });
});

describe('auto', () => {
  it('without any device is a virtual vehicle with a fault to find, at once, that tells its range', async () => {
    const timing = new HandTiming();
    const source = openSource('auto', { timing, ports: new DeskPorts() });
    const all = watch();
    source.start(all);
    await timing.pass(200);
    expect(all.loggers[0]!.kind).toBe('virtual');
    expect(all.loggers[0]!.controls!.scenario).toBe('side-step-jam');
    expect(all.loggers[0]!.channels[0]!.range.every(Number.isFinite)).toBe(true);
    expect(all.states.at(-1)!.text).toContain('No logger answers');
    await source.stop();
  });

  it('takes the first logger that answers, not the silent device beside it', async () => {
    const timing = new HandTiming();
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '1111' }));
    const device = new DeskDevice('/dev/ttyACM1', { vendorId: '2341', onAsk: (self) => self.send(helloLine()) });
    ports.plugIn(device);
    const source = openSource('auto', { timing, ports });
    const all = watch();
    source.start(all);
    await timing.pass(500);
    const logger = virtualLogger();
    for (let k = 0; k < 20; k += 1) {
      await timing.pass(50);
      device.send(logger.line(k));
    }
    expect(all.loggers.at(-1)).toMatchObject({ kind: 'logger', serial: 'B7' });
    expect(all.timeS.length).toBe(1000);
    await source.stop();
    expect(device.isOpen).toBe(false);
    await timing.pass(10_000);
    expect(ports.devices.get('/dev/ttyACM0')!.isOpen).toBe(false);
    expect(timing.timers).toBe(0);
  });

  it('that runs the virtual vehicle names a device plugged in later, and does not leave the vehicle', async () => {
    const timing = new HandTiming();
    const ports = new DeskPorts();
    const source = openSource('auto', { timing, ports });
    const all = watch();
    source.start(all);
    await timing.pass(4000);
    ports.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '2341', onAsk: (self) => self.send(helloLine()) }));
    await timing.pass(4000);
    expect(all.states.at(-1)).toMatchObject({ state: 'live' });
    expect(all.states.at(-1)!.text).toContain('choose serial:/dev/ttyACM0');
    expect(all.loggers).toHaveLength(1);
    expect(all.timeS.at(-1)!).toBeGreaterThan(7.5);
    await source.stop();
    expect(timing.timers).toBe(0);
  });

  it('says why a device could not be asked', async () => {
    const timing = new HandTiming();
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '2341' }));
    ports.refusals.set('/dev/ttyACM0', 'Error: Permission denied, cannot open /dev/ttyACM0');
    const source = openSource('auto', { timing, ports });
    const all = watch();
    source.start(all);
    await timing.pass(200);
    expect(all.states.at(-1)!.text).toContain('no permission to open /dev/ttyACM0');
    expect(all.loggers[0]!.kind).toBe('virtual');
    // it was there from the beginning: no look finds it new
    const said = all.states.length;
    await timing.pass(7000);
    expect(all.states).toHaveLength(said);
    await source.stop();
  });
});

describe('auto beside a device that talks but cannot be read', () => {
  it('names it, and where its lines are to be seen, rather than that no logger answers', async () => {
    const timing = new HandTiming();
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '1111' }));
    const device = new DeskDevice('/dev/ttyACM1', { vendorId: '2341' });
    ports.plugIn(device);
    const source = openSource('auto', { timing, ports });
    const all = watch();
    source.start(all);
    for (let k = 0; k < 140; k += 1) {
      await timing.pass(50);
      device.send('amps: two point five\n');
    }
    expect(all.loggers.at(-1)).toMatchObject({ kind: 'virtual' });
    expect(all.states.at(-1)!.text).toMatch(/^No logger answers\. \/dev\/ttyACM1 sends lines, but none is a reading: choose serial:\/dev\/ttyACM1 as the source/);
    await source.stop();
  });
});

describe('the list of ports', () => {
  it('says of each whether a logger answers', async () => {
    const timing = new HandTiming();
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/a', { vendorId: '2341', serialNumber: 'A7', onAsk: (self) => self.send(helloLine()) }));
    const numbers = new DeskDevice('/dev/b', { vendorId: '2341', trueBaud: 115_200 });
    ports.plugIn(numbers);
    ports.plugIn(new DeskDevice('/dev/c', { vendorId: '1111' }));
    ports.plugIn(new DeskDevice('/dev/d', { vendorId: '1111' }));
    ports.refusals.set('/dev/d', 'Error Resource temporarily unavailable Cannot lock port');
    ports.plugIn(new DeskDevice('/dev/e', { vendorId: '1111' }));
    ports.refusals.set('/dev/e', 'Error: Permission denied, cannot open /dev/e');
    ports.plugIn(new DeskDevice('/dev/ttyS9'));
    ports.refusals.set('/dev/ttyS9', 'Error: Input/output error, cannot open /dev/ttyS9');
    const answer = listPorts(ports, timing);
    for (let i = 0; i < 500; i += 1) {
      await timing.pass(20);
      numbers.send(`1.5,12.${i}`);
    }
    const reports = await answer;
    expect(reports.map((report) => [report.path, report.answers])).toEqual([['/dev/a', 'logger'], ['/dev/b', 'numbers'], ['/dev/c', 'silent'], ['/dev/d', 'busy'], ['/dev/e', 'denied']]);
    expect(reports[0]!.text).toBe('bench logger, serial B7, 1000 readings a second.');
    expect(reports[0]!.description).toBe('USB 2341:0001, serial A7');
    expect(reports[1]!.text).toContain('115200 baud');
    expect(reports[4]!.text).toMatch(process.platform === 'linux' ? /no permission to open \/dev\/e\. .*"sudo usermod -aG dialout \$USER".*log out and in again/ : /no permission to open \/dev\/e/);
    expect([...ports.devices.values()].some((device) => device.isOpen)).toBe(false);
    expect(timing.timers).toBe(0);
  });

  it('is empty, not an error, where the system cannot list them', async () => {
    const ports = new DeskPorts();
    ports.list = async () => {
      throw new Error('spawn udevadm ENOENT');
    };
    expect(await listPorts(ports, new HandTiming())).toEqual([]);
  });
});
