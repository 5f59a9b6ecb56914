import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { RESET } from './support/chip.ts';
import { ADC_START, expectUnbroken, samplesOf, startLogger } from './support/logger.ts';
import { LineLog } from './support/read-lines.ts';
import { receiveAt } from './support/serial-line.ts';

describe('bytes from the computer', () => {
  test('rubbish changes nothing: samples unbroken, settings as they were, hello still answered', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 400 }), (rubbish) => {
        const { chip, log } = startLogger({ image: 'adc' });
        chip.run(0.02);
        chip.send(rubbish);
        chip.send('\n');
        chip.run(0.25);
        chip.send('?');
        chip.run(0.25);
        expectUnbroken(log, 4000);
        expect(new Set(log.of('hello').map((line) => JSON.stringify(line.hello))).size).toBe(1);
        expect(log.of('hello').length).toBeGreaterThanOrEqual(2);
        expect(log.codes()).toEqual(ADC_START);
      }),
      { numRuns: 12, seed: 1 },
    );
  });

  test('commands with wrong numbers are refused with the limits, or ignored', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    const wrong = ['sensor', 'sensor ', 'sensor x', 'sensor 0', 'sensor -5', 'sensor 1e9', 'sensor nan', 'sensor 5 6', 'divider 0.5', 'serial ', 'serial "', 'serial much-too-long-a-name', 'zeroes', 'ZERO', 'check'];
    for (const command of wrong) {
      chip.send(`${command}\r\n`);
      chip.run(0.01);
    }
    chip.run(0.3);
    expect(log.of('hello').length).toBe(1);
    const refusals = log.of('notice').slice(ADC_START.length);
    expect(refusals.every((notice) => notice.code === 'refused')).toBe(true);
    expect(refusals[0]!.text).toBe('sensor: 0.01 to 1000 mV per A');
    expectUnbroken(log, 4000);
  });

  test.each([
    ['random bytes', (i: number) => (i * 7919 + (i >> 3) * 104_729) & 0xff],
    ['question marks', () => 63],
  ])('a flood of %s at the full line speed costs no sample and brings at most six hello lines a second', (_, byteAt) => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    chip.send(Uint8Array.from({ length: 100_000 }, (__, i) => byteAt(i)));
    chip.run(1);
    expectUnbroken(log, 4000);
    expect(samplesOf(log, 4000).current.length).toBeGreaterThan(3900);
    expect(log.of('hello').length).toBeLessThanOrEqual(7);
  });

  test('a question mark is answered within 60 ms, without a line end', () => {
    const { chip, log } = startLogger({ image: 'adc', jumper: '115k2' });
    chip.run(0.5);
    chip.send('?');
    chip.run(0.06);
    expect(log.of('hello').length).toBe(2);
  });
});

describe('the mark button', () => {
  /** pairs of time and contact */
  function press(events: [number, boolean][], durationS: number) {
    const { chip, log } = startLogger({ image: 'adc' });
    for (const [atS, closed] of events) {
      chip.runUntil(atS);
      chip.button(closed);
    }
    chip.runUntil(durationS);
    return { marks: log.of('notice').filter((notice) => notice.code === 'mark'), offsetS: chip.clockStartS };
  }

  test('one press with 8 ms of bounce at either end is one mark, dated at its first contact', () => {
    const bounce = (atS: number): [number, boolean][] => [0, 1, 2, 3.5, 4, 5.2, 6, 8].map((ms, i) => [atS + ms / 1000, i % 2 === (atS > 0.3 ? 1 : 0)]);
    const { marks, offsetS } = press([...bounce(0.2), [0.209, true], ...bounce(0.4), [0.409, false]], 0.6);
    expect(marks.map((mark) => mark.text)).toEqual(['button 1']);
    expect(marks[0]!.tUs / 1e6 + offsetS - 0.2).toBeLessThan(0.009);
    expect(marks[0]!.tUs / 1e6 + offsetS - 0.2).toBeGreaterThan(-0.0003);
  });

  test('two presses are two marks, a long hold is one', () => {
    const { marks } = press([[0.1, true], [0.2, false], [0.3, true], [0.9, false]], 1);
    expect(marks.map((mark) => mark.text)).toEqual(['button 1', 'button 2']);
  });

  test('spikes shorter than 20 ms are no marks', () => {
    const { marks } = press([[0.1, true], [0.11, false], [0.2, true], [0.219, false], [0.3, true], [0.3001, false]], 0.6);
    expect(marks).toEqual([]);
  });
});

describe('the supply', () => {
  test('a sag of the 5 V is reported with its depth, and its end too', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: (t) => (t > 0.4 && t < 0.6 ? 4.5 : 5), currentV: (t) => (t > 0.4 && t < 0.6 ? 2.25 : 2.5) } });
    chip.run(0.8);
    expect(log.of('notice').map((notice) => `${notice.code}: ${notice.text}`)).toEqual([
      'start: reset cause 1',
      'supply-unset: 5 V not calibrated: volts up to 10 percent off',
      'supply-low: 5 V is 10 percent low',
      'supply-ok: 5 V within 5 percent again',
    ]);
    expectUnbroken(log, 4000);
  });

  test('a sag of 4 % is no notice', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: (t) => (t > 0.4 ? 4.8 : 5) } });
    chip.run(0.8);
    expect(log.codes()).toEqual(ADC_START);
  });

  test('5 V too high are reported as well', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: (t) => (t > 0.4 && t < 0.6 ? 5.45 : 5) } });
    chip.run(0.8);
    expect(log.codes()).toEqual([...ADC_START, 'supply-high', 'supply-ok']);
  });

  test('below 4.0 V nothing is measured and nothing is stored: a hole, reported at both ends, whatever the brown-out fuse is set to', () => {
    let supplyV = 5;
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: () => supplyV, currentV: () => supplyV / 2 } });
    chip.run(0.4);
    supplyV = 3.9;
    chip.run(0.1);
    expect(log.of('notice').at(-1)).toMatchObject({ code: 'supply-low', text: '5 V is 21 percent low: no samples' });
    const count = samplesOf(log, 4000).current.length;
    const stored = Uint8Array.from(chip.eeprom);
    chip.send('sensor 100\n');
    chip.run(0.4);
    expect(samplesOf(log, 4000).current.length).toBe(count);
    expect(chip.lampOn).toBe(false);
    expect(chip.eeprom).toEqual(stored);
    supplyV = 5;
    chip.run(0.4);
    expect(log.codes().slice(2)).toEqual(['supply-low', 'supply-ok']);
    expect(chip.eeprom).not.toEqual(stored);
    const { timeS } = samplesOf(log, 4000);
    const holes = timeS.slice(1).map((t, i) => t - timeS[i]!).filter((step) => step > 0.0003);
    expect(holes.length).toBe(1);
    expect(holes[0]).toBeGreaterThan(0.45);
    expect(holes[0]).toBeLessThan(0.55);
  });

  test('a brown-out restarts the logger: hello first, then the cause; blocks count from 0 again', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.3);
    const blocks = log.of('block').length;
    while (log.of('block').length === blocks) chip.run(0.0001);
    chip.run(0.0065); // a block every 7.5 ms, each 1.9 ms on the line: into the middle of the next
    chip.reset(RESET.brownOut);
    chip.run(0.3);
    expect(log.codes()).toEqual([...ADC_START, 'brownout', 'supply-unset']);
    // The empty line before the hello ends the line that was cut off: one line is lost, and not the hello with it.
    expect(log.of('damaged').length).toBe(1);
    expect(log.lines.map((line) => line.kind).slice(log.lines.findIndex((line) => line.kind === 'damaged')).slice(0, 5)).toEqual(['damaged', 'hello', 'notice', 'notice', 'block']);
    const after = log.of('block').filter((block) => block.seq === 0);
    expect(after.length).toBe(2);
  });

  test('a program that stands still is restarted by the watchdog after a second, and says so', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.2);
    chip.derail();
    chip.run(0.9);
    expect(log.codes()).toEqual(ADC_START);
    chip.run(0.4);
    expect(log.codes()).toEqual([...ADC_START, 'watchdog', 'supply-unset']);
    expect(log.of('block').filter((block) => block.seq === 0).length).toBe(2);
  });
});

describe('volts and the 5 V they are measured against', () => {
  /** Battery volts as the program reads them, mean of the last 80 ms. */
  function volts(log: ReturnType<typeof startLogger>['log']): number {
    const tail = samplesOf(log, 4000).voltage.slice(-320);
    return (tail.reduce((sum, count) => sum + count, 0) / tail.length) * log.of('hello').at(-1)!.hello.channels[1]!.scale;
  }

  function battery(options: { supplyV: () => number; referenceV?: number }) {
    const { referenceV = 1.1 } = options;
    return startLogger({
      image: 'adc',
      inputs: { supplyV: options.supplyV, referenceV: () => referenceV, voltageV: () => (12.6 * 15) / 114.8, currentV: () => options.supplyV() / 2 },
    });
  }

  test.each([4.65, 4.8, 5.0, 5.25])('once the 5 V was measured, 12.6 V reads 12.6 V within 0.6 %% at a supply of %d V', (atS) => {
    // 0.6 %: half a step of the 1.1 V reading (0.22 %) at calibration and now, and one count of the divider's input (0.3 %)
    let supplyV = 5.02;
    const { chip, log } = battery({ supplyV: () => supplyV, referenceV: 1.07 });
    chip.run(0.5);
    chip.send('supply 5.02\n');
    chip.run(0.3);
    supplyV = atS;
    chip.run(1);
    expect(Math.abs(volts(log) / 12.6 - 1)).toBeLessThan(0.006);
    chip.reset(RESET.powerOn);
    chip.run(0.5);
    expect(Math.abs(volts(log) / 12.6 - 1)).toBeLessThan(0.006);
    expect(log.codes().filter((code) => code === 'supply-unset').length).toBe(1); // at the first start, not at the second
  });

  test('a port 7 % too low makes 12.6 V read 13.5 V as long as nobody has measured it, and that is not silent', () => {
    const { chip, log } = battery({ supplyV: () => 4.65 });
    chip.run(0.5);
    expect(volts(log)).toBeCloseTo(13.55, 1);
    expect(log.codes()).toContain('supply-unset');
    chip.send('supply 4.65\n');
    chip.run(1);
    expect(volts(log)).toBeCloseTo(12.6, 1);
  });

  test('a sag after the start is corrected even without calibration', () => {
    let supplyV = 5;
    const { chip, log } = battery({ supplyV: () => supplyV });
    chip.run(0.5);
    supplyV = 4.7;
    chip.run(1);
    expect(volts(log)).toBeCloseTo(12.6, 1);
  });

  test.each([
    ['supply-low', 4.2],
    ['supply-high', 6],
  ])('even uncalibrated, a start that no chip\'s reference explains is reported: %s at %d V', (code, supplyV) => {
    const { chip, log } = battery({ supplyV: () => supplyV });
    chip.run(0.8);
    expect(log.codes()).toEqual([...ADC_START, code]);
  });

  test('reported at the start when a calibrated logger finds its 5 V out of bounds', () => {
    let supplyV = 5;
    const { chip, log } = battery({ supplyV: () => supplyV });
    chip.run(0.5);
    chip.send('supply 5.00\n');
    chip.run(0.3);
    supplyV = 4.5;
    chip.reset(RESET.powerOn);
    chip.run(0.5);
    expect(log.of('notice').at(-1)).toMatchObject({ code: 'supply-low', text: '5 V is 10 percent low' });
  });

  test.each([
    ['supply 3', 'supply: 4.5 to 5.5 V'],
    ['supply 5.4', 'supply: 1.1 V reference would be 1.30 V'], // 6 V there: a wrong meter, or a wrong place
  ])('"%s" is refused', (command, text) => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { referenceV: () => 1.2, supplyV: () => (command.endsWith('5.4') ? 4.98 : 5) } });
    chip.run(0.5);
    chip.send(`${command}\n`);
    chip.run(0.2);
    expect(log.of('notice').at(-1)).toMatchObject({ code: 'refused', text });
  });

  test('current and voltage stand on the same moment: on a 50 Hz hum of both they agree within the count', () => {
    const hum = (t: number): number => Math.sin(2 * Math.PI * 50 * t);
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + 0.5 * hum(t), voltageV: (t) => 2.5 + 0.5 * hum(t) } });
    chip.run(0.8);
    const { current, voltage } = samplesOf(log, 4000);
    const apart = current.map((count, i) => voltage[i]! / 16 - count).slice(400);
    // 0.5 V of 50 Hz moves by 3.5 counts in the 108 us between the two conversions
    expect(Math.max(...apart.map(Math.abs))).toBeLessThan(1.2);
    const mean = apart.reduce((sum, value) => sum + value, 0) / apart.length;
    expect(Math.abs(mean)).toBeLessThan(0.1);
  });
});

describe('a line that is too slow', () => {
  test('whole blocks wait, then samples are lost, counted and reported; none is overwritten or shifted in time', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 1 + t } });
    chip.run(0.3);
    chip.cpu.writeData(0xc4, 207); // 9615 baud behind the program's back: the line carries a tenth of the samples
    chip.run(1);
    chip.cpu.writeData(0xc4, 1);
    chip.run(0.3);
    const overruns = log.of('notice').filter((notice) => notice.code === 'overrun');
    expect(overruns.length).toBeGreaterThan(0);
    expect(log.of('damaged')).toEqual([]);
    const samples = samplesOf(log, 4000);
    let missing = 0;
    for (const [i, timeS] of samples.timeS.entries()) {
      expect(Math.abs(samples.current[i]! - ((1 + chip.clockStartS + timeS) / 5) * 1024)).toBeLessThan(1.02);
      if (i > 0) missing += Math.round((timeS - samples.timeS[i - 1]!) * 4000) - 1;
    }
    const counted = overruns.reduce((sum, notice) => sum + Number(notice.text.split(' ')[0]), 0);
    expect(counted).toBe(missing);
    expect(missing).toBeGreaterThan(1000);
    expect(log.of('block').map((block) => block.seq)).toEqual(log.of('block').map((_, index) => index));
  });

  test('when notices come faster than they can be sent, the lost ones are counted', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.1);
    chip.cpu.writeData(0xc4, 207);
    for (let i = 0; i < 50; i++) {
      chip.button(true);
      chip.run(0.021);
      chip.button(false);
      chip.run(0.021);
    }
    chip.cpu.writeData(0xc4, 1);
    chip.run(0.3);
    const sent = log.of('notice').filter((notice) => notice.code === 'mark').length;
    const lost = log.of('notice').filter((notice) => notice.text.endsWith('notices lost')).reduce((sum, notice) => sum + Number(notice.text.split(' ')[0]), 0);
    expect(lost).toBeGreaterThan(0);
    const posted = Number(log.of('notice').findLast((notice) => notice.code === 'mark')!.text.split(' ')[1]);
    expect(posted).toBeLessThanOrEqual(50);
    expect(sent + lost).toBeGreaterThanOrEqual(posted);
  });
});

describe('a port opened at the wrong speed', () => {
  test.each([[115_200], [500_000], [921_600], [2_000_000], [9600]])('at %i baud nothing of a 1 Mbaud stream passes for a line', (baud) => {
    const sent: number[] = [];
    const { chip } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + Math.sin(400 * t) } });
    chip.onByte = (byte) => sent.push(byte);
    chip.run(0.5);
    const wrong = new LineLog();
    for (const byte of receiveAt(sent, 1_000_000, baud)) wrong.take(byte);
    expect(wrong.lines.filter((line) => line.kind !== 'damaged')).toEqual([]);
  });

  test('the receiver of this test reads everything at the right speed, and at 2 % beside it', () => {
    const sent: number[] = [];
    const { chip } = startLogger({ image: 'adc' });
    chip.onByte = (byte) => sent.push(byte);
    chip.run(0.1);
    expect(receiveAt(sent, 1_000_000, 1_000_000)).toEqual(sent);
    expect(receiveAt(sent, 117_647, 115_200)).toEqual(sent);
  });
});
