import { describe, expect, test } from 'vitest';
import { crc16 } from '../../src/core/decode/crc16.ts';
import { RESET } from './support/chip.ts';
import { samplesOf, startLogger } from './support/logger.ts';
import { crcBitByBit } from './support/read-lines.ts';

describe('the checksum', () => {
  test('is 29B1 for 123456789 on the chip, in the program and in the tests: CRC-16/CCITT-FALSE', () => {
    const { chip, log } = startLogger({ image: 'adc' });
    chip.run(0.02);
    chip.send('check 123456789\n');
    chip.run(0.05);
    expect(log.of('notice').find((notice) => notice.code === 'check')!.text).toBe('29B1');
    expect(crc16('123456789')).toBe(0x29b1);
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
    expect(answers).toEqual(texts.map((text) => crc16(text)));
    expect(answers[0]).toBe(0xffff);
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
    expect(before.channels[1]!.scale).toBeCloseTo((5 / 1024) * 7.5, 6);
    expect(samplesOf(log, 4000).current.length).toBeGreaterThan(3600);
    const seqs = log.of('block').map((block) => block.seq);
    expect(seqs).toEqual(seqs.map((_, index) => index));
    chip.reset(RESET.external);
    chip.run(0.2);
    expect(log.of('notice').at(-1)!.text).toBe('reset cause 2');
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
  test('measured without current moves into the hello line and takes the offset away', () => {
    const offsetV = 0.037; // a Hall part 37 mV off its middle: 0.56 A
    let currentA = 0;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + offsetV + currentA * 0.066 + 0.005 * Math.sin(2000 * t) } });
    chip.run(0.1);
    chip.send('zero\n');
    chip.run(0.6);
    const zero = log.of('hello').at(-1)!.hello.channels[0]!.zero;
    // half a count below the voltage's own place, because the converter rounds down
    expect(zero).toBeCloseTo(((2.5 + offsetV) / 5) * 1024 - 0.5, 1);
    expect(log.of('notice').at(-1)).toMatchObject({ code: 'zero', text: `${zero.toFixed(2)} counts` });
    currentA = 7;
    chip.run(0.3);
    const tail = samplesOf(log, 4000).current.slice(-800);
    const mean = tail.reduce((sum, count) => sum + count, 0) / tail.length;
    expect((mean - zero) * log.of('hello').at(-1)!.hello.channels[0]!.scale).toBeCloseTo(7, 1);
  });

  test.each([
    ['a current of 5 A flows', () => 2.5 + 5 * 0.066],
    ['the reading swings by 40 mV', (t: number) => 2.5 + 0.02 * Math.sin(300 * t)],
  ])('is refused while %s', (_, currentV) => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV } });
    chip.run(0.1);
    chip.send('zero\n');
    chip.run(0.6);
    expect(log.of('notice').at(-1)!.code).toBe('refused');
    expect(log.of('hello').length).toBe(1);
  });
});
