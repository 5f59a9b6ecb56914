import { describe, expect, test } from 'vitest';
import { plainCrc16 } from '../core/decode/plain.ts';
import { RESET } from './support/chip.ts';
import { ADC_START, samplesOf, startLogger } from './support/logger.ts';
import { monitorBus, MonitorModel } from './support/monitor-model.ts';
import { crcBitByBit } from './support/read-lines.ts';

describe('the checksum', () => {
  test('is 29B1 for 123456789 on the chip, in the program and in the tests: CRC-16/CCITT-FALSE', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    chip.send('check 123456789\n');
    chip.run(0.05);
    expect(log.of('notice').find((notice) => notice.code === 'check')!.text).toBe('29B1');
    expect(plainCrc16('123456789')).toBe(0x29b1);
    expect(crcBitByBit('123456789')).toBe(0x29b1);
  });

  test('of an empty text is the start value FFFF, and the chip and the program agree on other texts', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    const texts = ['', 'A', '~~~~~~~~~~~~~~~~~~', 'line 7, 12.6 V'];
    for (const text of texts) {
      chip.send(`check ${text}\n`);
      chip.run(0.03);
    }
    const answers = log.of('notice').filter((notice) => notice.code === 'check').map((notice) => Number.parseInt(notice.text, 16));
    expect(answers).toEqual(texts.map((text) => plainCrc16(text)));
    expect(answers[0]).toBe(0xffff);
  });
});

describe('a command', () => {
  test.each(['adc', 'monitor'] as const)('is heard by the %s logger whenever it comes: no byte of it is lost to a sample being taken', (image) => {
    const bus = image === 'monitor' ? monitorBus({ 0x40: new MonitorModel(() => 0.006, () => 12.6) }) : undefined;
    const { chip, log } = startLogger({ image, ...(bus === undefined ? {} : { bus }) });
    chip.run(0.1);
    for (let i = 0; i < 60; i++) {
      chip.send(`check ${i}\n`);
      chip.run(0.01 + i * 17e-6); // another place in the period each time
    }
    chip.run(0.05);
    const answers = log.of('notice').filter((notice) => notice.code === 'check').map((notice) => Number.parseInt(notice.text, 16));
    expect(answers).toEqual(Array.from({ length: 60 }, (_, i) => plainCrc16(String(i))));
  });
});

describe('settings', () => {
  test('survive a restart: sensor, divider and serial, byte by byte in the background without a lost sample', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    for (const command of ['sensor 98.5', 'divider 7.5', 'serial BAY-2']) {
      chip.send(`${command}\n`);
      chip.run(0.3);
    }
    const before = log.of('hello').at(-1)!.hello;
    expect(before.serial).toBe('BAY-2');
    expect(before.channels[0]!.scale).toBeCloseTo(5 / 1024 / 0.0985, 6);
    expect(before.channels[1]!.scale).toBeCloseTo(((5 / 1024) * 7.5) / 16, 8);
    expect(samplesOf(log, 4000).current.length).toBeGreaterThan(3600);
    const seqs = log.of('block').map((block) => block.seq);
    expect(seqs).toEqual(seqs.map((_, index) => index));
    chip.reset(RESET.external);
    chip.run(0.2);
    expect(log.of('notice').findLast((notice) => notice.code === 'start')!.text).toBe('reset cause 2');
    chip.send('?');
    chip.run(0.3);
    expect(log.of('hello').at(-1)!.hello).toEqual(before);
  });

  test('that were damaged in storage are not believed: defaults, and a notice', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    chip.send('sensor 100\n');
    chip.run(0.3);
    chip.eeprom[0]! ^= 1;
    chip.reset(RESET.powerOn);
    chip.run(0.3);
    expect(log.codes()).toContain('settings');
    chip.send('?');
    chip.run(0.3);
    expect(log.of('hello').at(-1)!.hello.channels[0]!.scale).toBeCloseTo(0.073982, 6);
  });
});

describe('the zero', () => {
  /** A 30 A Hall part of 66 mV/A: it can show 33.3 A, and 1 % of that is 0.33 A. */
  const V_PER_A = 0.066;

  function hall(volts: (timeS: number) => number) {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: volts } });
    chip.run(0.1);
    return {
      chip,
      log,
      /** the answer to a command */
      ask(text: string): string {
        const before = log.of('notice').length;
        chip.send(`${text}\n`);
        chip.run(1.2);
        const answers = log.of('notice').slice(before);
        expect(answers.length).toBe(1);
        return `${answers[0]!.code}: ${answers[0]!.text}`;
      },
      get channel() {
        return log.of('hello').at(-1)!.hello.channels[0]!;
      },
    };
  }

  test('measured without current moves into the hello line, takes the offset away, and is reported in amperes', () => {
    const offsetV = 0.017; // a Hall part 17 mV off its middle: 0.258 A
    let currentA = 0;
    const logger = hall((t) => 2.5 + offsetV + currentA * V_PER_A + 0.005 * Math.sin(2000 * t));
    const answer = logger.ask('zero');
    const { zero, scale } = logger.channel;
    // half a count below the voltage's own place, because the converter rounds down
    expect(zero).toBeCloseTo(((2.5 + offsetV) / 5) * 1024 - 0.5, 1);
    expect(answer).toMatch(/^zero: moved by 0\.2\d\d A to 51[45]\.\d\d counts$/);
    expect(Math.abs(Number(answer.split(' ')[3]) - offsetV / V_PER_A)).toBeLessThan(scale);
    currentA = 7;
    logger.chip.run(0.3);
    const tail = samplesOf(logger.log, 4000).current.slice(-800);
    const mean = tail.reduce((sum, count) => sum + count, 0) / tail.length;
    expect((mean - zero) * scale).toBeCloseTo(7, 1);
  });

  test.each([3, -3, 0.5, 20])('is refused with %d A flowing, in amperes and with what to do', (currentA) => {
    const logger = hall(() => 2.5 + currentA * V_PER_A);
    const answer = logger.ask('zero');
    const [, reads, limit] = /^refused: zero: reads (-?[\d.]+) A, limit ([\d.]+) A; no current\? zero force$/.exec(answer)!;
    expect(Math.abs(Number(reads) - currentA)).toBeLessThan(0.08);
    expect(Number(limit)).toBeCloseTo(0.01 * 33.3, 2);
    expect(logger.log.of('hello').length).toBe(1);
    expect(`${answer.slice(9)}`.length).toBeLessThanOrEqual(80); // what the program shows of a notice
  });

  test('is taken just below 1 % of the range and refused just above it', () => {
    expect(hall(() => 2.5 + 0.25 * V_PER_A).ask('zero')).toMatch(/^zero/);
    expect(hall(() => 2.5 + 0.42 * V_PER_A).ask('zero')).toMatch(/^refused/);
  });

  test('of a part that really is 0.56 A off is taken when it is forced, and the next one needs no force', () => {
    const logger = hall((t) => 2.537 + 0.005 * Math.sin(2000 * t));
    expect(logger.ask('zero')).toMatch(/^refused: zero: reads 0\.5/);
    expect(logger.ask('zero force')).toMatch(/^zero: moved by 0\.5\d\d A to 519\.\d\d counts$/);
    expect(logger.channel.zero).toBeCloseTo((2.537 / 5) * 1024 - 0.5, 1);
    expect(logger.ask('zero')).toMatch(/^zero: moved by -?0\.00/);
  });

  test('is not even forced beyond a quarter of the range, where a current flows or the sensor is broken', () => {
    expect(hall(() => 2.5 + 10 * V_PER_A).ask('zero force')).toMatch(/^refused: zero: reads (9\.9|10\.0)\d+ A, limit 8\.3\d+ A$/);
  });

  test.each([
    ['swings by 40 mV', (t: number) => 2.5 + 0.02 * Math.sin(300 * t)],
    ['creeps by 15 mV in a second', (t: number) => 2.49 + 0.015 * t],
    ['steps by 30 mV', (t: number) => (t > 0.6 ? 2.51 : 2.48)],
  ])('is refused, forced or not, while the reading %s', (_, currentV) => {
    for (const command of ['zero', 'zero force']) {
      const logger = hall(currentV);
      expect(logger.ask(command)).toMatch(/^refused: zero: the reading moves by 0\.\d+ A$/);
      expect(logger.log.of('hello').length).toBe(1);
    }
  });

  test('without a sensor is refused after ten seconds, not left open', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 0 } });
    chip.run(0.1);
    chip.send('zero\n');
    chip.run(9.8);
    expect(log.codes()).toEqual([...ADC_START, 'sensor-lost']);
    chip.run(0.4);
    expect(log.of('notice').at(-1)).toMatchObject({ code: 'refused', text: 'zero: no steady samples came' });
  });
});
