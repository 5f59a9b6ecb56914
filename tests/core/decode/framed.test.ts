import { describe, expect, it } from 'vitest';
import { crc16OfBytes } from '../../../src/core/decode/crc16.ts';
import { blockLine, countingBlock, framed, helloLine, int16Of, openDecoder, SCALE_A, SCALE_V, virtualLogger } from './kit.ts';
import { crc16Hex, encodeInt16, frameLine } from './encode.ts';

describe('the checksum', () => {
  it('gives 0x29B1 for "123456789"', () => {
    // check value of CRC-16/CCITT-FALSE: docs.rs, crate donglora-protocol
    expect(crc16OfBytes(Buffer.from('123456789'), 0, 9)).toBe(0x29b1);
    expect(crc16Hex('123456789')).toBe('29B1');
  });

  it('is 0xFFFF for nothing, its start value', () => {
    expect(crc16OfBytes(new Uint8Array(), 0, 0)).toBe(0xffff);
  });

  it('covers what lies between the first character and the star', () => {
    expect(frameLine('!', '123456789')).toBe('!123456789*29B1');
    expect(crc16OfBytes(Buffer.from('!123456789*'), 1, 10)).toBe(0x29b1);
  });
});

describe('base64 of a block', () => {
  it('reads what Node writes, for every length', () => {
    for (let count = 1; count < 40; count += 1) {
      const counts = Int16Array.from({ length: count }, (_, i) => (i * 7919 - 20_000) | 0);
      const text = Buffer.from(counts.buffer).toString('base64');
      expect(encodeInt16(counts)).toBe(text);
      expect(int16Of(text, count)).toEqual(counts);
      const bare = text.replace(/=+$/, '');
      expect(int16Of(bare, count)).toEqual(counts);
    }
  });

  it('refuses another length, foreign characters and left-over bits', () => {
    expect(int16Of('AAAA', 1)).toBeNull();
    expect(int16Of('AAA=', 1)).toEqual(Int16Array.of(0));
    expect(int16Of('AAB=', 1)).toBeNull();
    expect(int16Of('A-A=', 1)).toBeNull();
    expect(int16Of('AAA==', 1)).toBeNull();
    expect(int16Of('A=A=', 1)).toBeNull();
    expect(int16Of('', 1)).toBeNull();
  });
});

describe('a framed line', () => {
  it('may hold a star in its text: the last one counts', () => {
    const line = frameLine('!', '7,1000,mark,button * pressed, twice');
    expect(framed(line, null)).toEqual({ kind: 'notice', seq: 7, deviceUs: 1000, code: 'mark', text: 'button * pressed, twice' });
  });

  it('takes its checksum in small and capital digits', () => {
    const line = frameLine('!', '7,1000,mark,');
    expect(framed(line.slice(0, -4) + line.slice(-4).toLowerCase(), null).kind).toBe('notice');
  });

  it.each([
    ['@', 'malformed'],
    ['@1,2,3,AAAA', 'malformed'],
    ['@1,2,3,AAAA*12', 'malformed'],
    ['@1,2,3,AAAA*123G', 'malformed'],
    ['@1,2,3,AAAA*0000', 'bad-crc'],
    [frameLine('@', '1,2,1'), 'malformed'],
    [frameLine('@', '1,2,1,AAAAA'), 'malformed'],
    [frameLine('@', '1,2,0,'), 'malformed'],
    [frameLine('@', '-1,2,1,AAAAAA=='), 'malformed'],
    [frameLine('@', '1,4294967296,1,AAAAAA=='), 'malformed'],
    [frameLine('@', '1,2,99999999,AAAAAA=='), 'malformed'],
    [frameLine('!', '1,2,bad code,text'), 'malformed'],
  ])('%s is refused as %s', (line, why) => {
    expect(framed(line, 2)).toEqual({ kind: 'refused', why });
  });
});

describe('blocks', () => {
  it('become samples in A and V, by scale and zero of the hello', () => {
    const { decoder, all } = openDecoder();
    decoder.line(helloLine({ channels: [{ name: 'voltage', unit: 'mV', scale: 0.5, zero: 10 }, { name: 'spare' }, { name: 'current', unit: 'A', scale: -0.01, zero: 100 }] }), 0);
    decoder.line(frameLine('@', `0,0,1,${encodeInt16(Int16Array.of(25_010, 77, -400))}`), 0.1);
    expect(all.currentA[0]).toBeCloseTo(5, 6);
    expect(all.voltageV[0]).toBeCloseTo(12.5, 6);
    expect(all.loggers[0]).toMatchObject({ kind: 'logger', name: 'bench logger', serial: 'B7', rateHz: 1000 });
  });

  it('at the end of the range are passed on as they are', () => {
    const { decoder, all } = openDecoder();
    decoder.line(helloLine(), 0);
    decoder.line(blockLine(0, 0, Int16Array.of(32_767, 0, -32_768, 0)), 0.1);
    expect(all.currentA[0]).toBeCloseTo(32.767, 5);
    expect(all.currentA[1]).toBeCloseTo(-32.768, 5);
  });

  it('without a hello give nothing, and the hello is asked for', () => {
    const { decoder, all } = openDecoder();
    decoder.line(blockLine(0, 0, countingBlock(0, 10)), 0.1);
    expect(decoder.wantsHello).toBe(true);
    expect(all.timeS).toEqual([]);
    decoder.line(helloLine(), 0.2);
    decoder.line(blockLine(1, 10_000, countingBlock(10, 10)), 0.3);
    expect(decoder.wantsHello).toBe(false);
    expect(all.currentA.length).toBe(10);
    expect(decoder.damage).toEqual({ badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
  });

  it('damaged on the way are counted by kind, and leave a gap', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 20; k += 1) {
      const line = logger.line(k);
      decoder.line(k === 7 ? line.replace(/.{6}\*/, 'AAAAAA*') : line, logger.arrivalS(k));
    }
    expect(decoder.damage).toEqual({ badCrc: 1, malformed: 0, tooLong: 0, lostBlocks: 1, restarts: 0 });
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS - all.gaps[0]!.startS).toBeCloseTo(0.051, 3);
    expect(all.currentA.length).toBe(19 * 50);
  });

  it('change their meaning when the hello comes again with another range', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    logger.send(decoder, 0);
    decoder.line(helloLine(), 0.16);
    logger.send(decoder, 1);
    expect(all.loggers).toHaveLength(1);
    decoder.line(helloLine({ channels: [{ name: 'current', unit: 'A', scale: 10 * SCALE_A, range: [-300, 300] }, { name: 'voltage', unit: 'V', scale: SCALE_V }] }), 0.21);
    logger.send(decoder, 2);
    expect(all.loggers).toHaveLength(2);
    expect(all.loggers[1]!.channels[0]!.range).toEqual([-300, 300]);
    expect(all.currentA[99]).toBeCloseTo(99 * SCALE_A, 6);
    expect(all.currentA[100]).toBeCloseTo(100 * 10 * SCALE_A, 6);
    expect(all.gaps).toEqual([]);
    expect(decoder.damage.restarts).toBe(0);
  });

  it('after a reconnection wait for the hello: it may be another logger', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    logger.send(decoder, 0);
    decoder.reopened();
    logger.send(decoder, 20);
    expect(all.timeS).toHaveLength(50);
    decoder.line(helloLine({ serial: 'C9' }), 1.2);
    logger.send(decoder, 21);
    expect(all.timeS).toHaveLength(100);
    expect(all.gaps).toHaveLength(1);
    expect(all.loggers.map((info) => info.serial)).toEqual(['B7', 'C9']);
  });
});

describe('a hello', () => {
  it.each([
    ['no JSON', frameLine('#', '{oops')],
    ['another protocol', helloLine({ protocol: 2 })],
    ['no rate', helloLine({ rate_hz: 0 })],
    ['a rate that is text', helloLine({ rate_hz: '1000' })],
    ['no current channel', helloLine({ channels: [{ name: 'voltage', unit: 'V', scale: 1e-3 }] })],
    ['an unknown unit', helloLine({ channels: [{ name: 'current', unit: 'furlong', scale: 1e-3 }] })],
    ['a scale of nought', helloLine({ channels: [{ name: 'current', unit: 'A', scale: 0 }] })],
    ['a scale no circuit has', helloLine({ channels: [{ name: 'current', unit: 'A', scale: 1e9 }] })],
    ['channels that are null', helloLine({ channels: [null] })],
    ['a hundred channels', helloLine({ channels: Array.from({ length: 100 }, () => ({ name: 'current', unit: 'A', scale: 1 })) })],
  ])('with %s is refused in words and counted', (_what, line) => {
    const { decoder, all } = openDecoder();
    decoder.line(line, 0);
    expect(all.loggers).toEqual([]);
    expect(decoder.damage.malformed).toBe(1);
    expect(all.notices[0]!.code).toBe('hello-refused');
  });

  it('has its words cleaned before anybody is shown them', () => {
    const { decoder, all } = openDecoder();
    decoder.line(frameLine('#', Buffer.from(JSON.stringify({
      protocol: 1, logger: `Zähler\u001b[31m\n${'x'.repeat(500)}`, rate_hz: 10, channels: [{ name: 'current', unit: 'mA', scale: 1 }],
    })).toString('latin1')), 0);
    expect(all.loggers[0]!.name.startsWith('Zähler[31mx')).toBe(true);
    expect(all.loggers[0]!.name.length).toBe(80);
    expect(all.loggers[0]!.channels[0]).toMatchObject({ unit: 'A', scale: 0.001, range: [-32.768, 32.767] });
  });

  it('may be the very first line after opening, because its checksum proves it whole', () => {
    const { decoder, all } = openDecoder();
    decoder.reopened();
    decoder.line(helloLine(), 0);
    expect(all.loggers).toHaveLength(1);
    expect(decoder.damage.malformed).toBe(0);
  });
});
