import { describe, expect, it } from 'vitest';
import { decodeInt16 } from '../../../src/core/decode/base64.ts';
import { parseColumns } from '../../../src/core/decode/columns.ts';
import { isWhole, looksFramed, parseFramedLine } from '../../../src/core/decode/framed-line.ts';
import { cleanText, parseHello, utf8, type Hello } from '../../../src/core/decode/hello.ts';
import { latin1, LineSplitter } from '../../../src/core/decode/line-splitter.ts';
import { lineLayout, parseNumbers, plainLayout, readNumbers, type LineLayout } from '../../../src/core/decode/number-line.ts';
import { bytesOf, framed, int16Of } from './kit.ts';
import { crc16Hex, encodeInt16, frameLine } from './encode.ts';

/** What each reader of strangers' bytes still takes, and the first thing beyond it that it refuses. */

const spares = (count: number): unknown[] => Array.from({ length: count }, () => ({ name: 'spare' }));
const current = { name: 'current', unit: 'A', scale: 1, zero: 0 };

function hello(changes: Record<string, unknown>): Hello | string {
  return parseHello(JSON.stringify({ protocol: 1, logger: 'bench', rate_hz: 1000, channels: [current], ...changes }));
}

function taken(changes: Record<string, unknown>): Hello {
  const answer = hello(changes);
  if (typeof answer === 'string') throw new Error(answer);
  return answer;
}

describe('the first and the last that a hello may say', () => {
  it.each([
    ['a rate of a sample in a thousand seconds', { rate_hz: 1e-3 }, { rate_hz: 0.99e-3 }],
    ['a rate of a million a second', { rate_hz: 1e6 }, { rate_hz: 1_000_001 }],
    ['one channel', { channels: [current] }, { channels: [] }],
    ['eight channels', { channels: [current, ...spares(7)] }, { channels: [current, ...spares(8)] }],
    ['a zero at the far end of 16 bits', { channels: [{ ...current, zero: 65_536 }] }, { channels: [{ ...current, zero: 65_537 }] }],
    ['a zero at the near end of 16 bits', { channels: [{ ...current, zero: -65_536, scale: 0.5 }] }, { channels: [{ ...current, zero: -65_537, scale: 0.5 }] }],
    // 32,768 counts x 3.0517578125 A are 100,000 A, the most that is believed; the negative end reaches one count further
    ['100 kA at its negative end', { channels: [{ ...current, scale: 1e5 / 32_768 }] }, { channels: [{ ...current, scale: 1.001e5 / 32_768 }] }],
    ['100 kA at its positive end', { channels: [{ ...current, zero: -32_768, scale: 1e5 / 65_535 }] }, { channels: [{ ...current, zero: -32_768, scale: 1.001e5 / 65_535 }] }],
    ['10 kV', { channels: [current, { name: 'voltage', scale: 1e4 / 32_768 }] }, { channels: [current, { name: 'voltage', scale: 1.001e4 / 32_768 }] }],
    ['channels as a list', { channels: [current] }, { channels: current }],
    ['a number for zero', { channels: [{ ...current, zero: 5 }] }, { channels: [{ ...current, zero: '5' }] }],
    ['amperes for current', { channels: [{ ...current, unit: 'uA' }] }, { channels: [{ ...current, unit: 'V' }] }],
    ['a unit that is text', { channels: [{ ...current, unit: 'A' }] }, { channels: [{ ...current, unit: 1 }] }],
    ['a scale that is a number', { channels: [{ ...current, scale: -1e-3 }] }, { channels: [{ ...current, scale: '1e-3' }] }],
  ])('%s is taken, and what lies next to it refused', (_what, within, beyond) => {
    expect(typeof hello(within)).toBe('object');
    expect(typeof hello(beyond)).toBe('string');
  });

  it('its channels are counted from one where one is none', () => {
    expect(hello({ channels: [current, 7] })).toBe('Channel 2 of the logger is not a JSON object.');
    expect(hello({ channels: [null, current] })).toBe('Channel 1 of the logger is not a JSON object.');
  });

  it.each(['null', '[]', '7', '"hello"'])('%s is no description', (json) => {
    expect(parseHello(json)).toContain('not a JSON object');
  });

  it('names are taken where they are text that says something', () => {
    expect(taken({ logger: '', serial: '', firmware: '' }).info).toMatchObject({ name: 'unnamed logger', serial: null, firmware: null });
    expect(taken({ logger: 7, serial: 7, firmware: 7 }).info).toMatchObject({ name: 'unnamed logger', serial: null, firmware: null });
    expect(taken({ logger: 'L', serial: 'S', firmware: 'F' }).info).toMatchObject({ name: 'L', serial: 'S', firmware: 'F' });
  });

  it('the first channel of a name counts, and its place is where its counts lie', () => {
    const spare = { name: 'spare' };
    const { layout, info } = taken({ channels: [spare, { name: 'voltage', scale: 2e-3 }, { name: 'voltage', scale: 9e-3 }, { ...current, scale: 1e-3 }, { ...current, scale: 2 }] });
    expect(layout).toMatchObject({ width: 5, voltageAt: 1, currentAt: 3, current: { scale: 1e-3 }, voltage: { scale: 2e-3 } });
    expect(info.channels.map(({ name }) => name)).toEqual(['current', 'voltage']);
    expect(taken({}).layout).toMatchObject({ voltageAt: -1, voltage: null });
    expect(taken({}).info.channels).toHaveLength(1);
  });

  it('a range is taken with its unit where it is one, else the ends of 16 bits serve', () => {
    const rangeOf = (channel: Record<string, unknown>): readonly number[] => taken({ channels: [{ ...current, ...channel }] }).info.channels[0]!.range;
    expect(rangeOf({ unit: 'mA', range: [-500, 2000] })).toEqual([-0.5, 2]);
    // (-32768 - 100) x 2 and (32767 - 100) x 2
    for (const range of [undefined, [1, 1], [2, 1], [1], [1, 2, 3], ['1', 2], [1, '2'], [1, null], 'wide']) expect(rangeOf({ scale: 2, zero: 100, range })).toEqual([-65_736, 65_334]);
    expect(rangeOf({ scale: -2, zero: 100 })).toEqual([-65_334, 65_736]);
  });
});

describe('a stranger\'s word', () => {
  it('keeps what can be seen and loses what steers a terminal', () => {
    // C0 ends at 31, DEL is 127, C1 runs from 128 to 159 (ISO/IEC 6429)
    expect(cleanText('a\u001fb c~d\u007fe\u0080f\u009fg\u00a0h\ufffdi')).toBe('ab c~defg\u00a0hi');
    expect(cleanText('  x  ')).toBe('x');
  });

  it('is cut to 80 characters, whole ones', () => {
    expect(cleanText('z'.repeat(80))).toHaveLength(80);
    expect(cleanText('z'.repeat(81))).toHaveLength(80);
    expect(Array.from(cleanText('\u{1f697}'.repeat(90)))).toHaveLength(80);
    // not more than four times as many code units are looked at
    expect(cleanText(`${'\u0000'.repeat(319)}ab`)).toBe('a');
  });

  it('in bytes becomes text where it is UTF-8, and stays as it is where not', () => {
    expect(utf8('100 % \u00c3\u00a4')).toBe('100 % ä');
    expect(utf8('\u0001\u007f')).toBe('\u0001\u007f');
    expect(utf8('\u00c3%')).toBe('\u00c3%');
    expect(utf8('\u00e4')).toBe('\u00e4');
  });
});

describe('a framed line', () => {
  it('is known by its first character, a hello by two', () => {
    for (const line of ['@', '!', '#{']) expect(looksFramed(bytesOf(line), 0, line.length), line).toBe(true);
    for (const line of ['', '#', '# note', '{', '?', 'A', '"']) expect(looksFramed(bytesOf(line), 0, line.length), line).toBe(false);
    // what lies behind its end is not its own
    expect([looksFramed(bytesOf('ab#{'), 2, 3), looksFramed(bytesOf('ab#{'), 2, 4), looksFramed(bytesOf('a@'), 1, 1)]).toEqual([false, true, false]);
  });

  it('needs a checksum of four hexadecimal digits behind a star', () => {
    // neighbours of 0, 9, A, F, a and f in the code table
    for (const digit of ['/', ':', '@', 'G', '`', 'g']) expect(framed(`!7,1000,mark,*000${digit}`, null), digit).toEqual({ kind: 'refused', why: 'malformed' });
    for (const digit of ['0', '9', 'A', 'F', 'a', 'f']) expect(framed(`!7,1000,mark,x*000${digit}`, null), digit).toEqual({ kind: 'refused', why: 'bad-crc' });
    for (const line of ['*0000', '', '!', '!7+FFFF', '0'.repeat(5)]) expect(framed(line, null), line).toEqual({ kind: 'refused', why: 'malformed' });
    expect(framed('!*FFFF', null)).toEqual({ kind: 'refused', why: 'malformed' });
    expect(framed('#*FFFF', null)).toEqual({ kind: 'hello', json: '' });
    expect(framed(`x1*${crc16Hex('1')}`, null)).toEqual({ kind: 'refused', why: 'malformed' });
  });

  it('reads every digit of its checksum', () => {
    // a body for each of the 16 digits in each place: all 65,536 checksums come by, read in capitals and in small letters
    const seen = new Set<string>();
    for (let n = 0; seen.size < 4 * 16; n += 1) {
      const body = `${n},0,mark,`;
      const sum = crc16Hex(body);
      for (let place = 0; place < 4; place += 1) seen.add(`${place}${sum[place]}`);
      expect(framed(`!${body}*${sum}`, null).kind).toBe('notice');
      expect(framed(`!${body}*${sum.toLowerCase()}`, null).kind).toBe('notice');
    }
  });

  it('counts in 32 bits, ten digits', () => {
    const block = (body: string): string => framed(frameLine('@', body), 1).kind;
    const one = encodeInt16(Int16Array.of(-2));
    expect(framed(frameLine('@', `4294967295,4294967295,1,${one}`), 1)).toEqual({ kind: 'block', seq: 2 ** 32 - 1, deviceUs: 2 ** 32 - 1, count: 1, counts: Int16Array.of(-2) });
    expect(block(`0000000007,0,1,${one}`)).toBe('block');
    for (const body of [`4294967296,0,1,${one}`, `0,4294967296,1,${one}`, `00000000007,0,1,${one}`, `,0,1,${one}`, `0,,1,${one}`, `0,0,,${one}`, `/,0,1,${one}`, `:,0,1,${one}`, `0,0,1`, `0,0`, `0`, ``]) expect(block(body), body).toBe('refused');
    const notice = (body: string): string => framed(frameLine('!', body), null).kind;
    expect(notice('4294967295,4294967295,mark,')).toBe('notice');
    expect(notice('4294967296,0,mark,')).toBe('refused');
    expect(notice('0,4294967296,mark,')).toBe('refused');
    expect(notice('0,0,mark')).toBe('refused');
  });

  it('does not take a comma behind the star for one of its own', () => {
    const body = '1,2';
    expect(framed(`@${body}*${crc16Hex(body)}`.replace(/.{2}$/, ',,'), 1)).toEqual({ kind: 'refused', why: 'malformed' });
  });

  it('carries up to 6,000 samples, as many as it says, and none before the hello', () => {
    const samples = (count: number, width: number | null, said = count): string => framed(frameLine('@', `0,0,${said},${encodeInt16(new Int16Array(count * (width ?? 1)))}`), width).kind;
    expect(samples(6000, 1)).toBe('block');
    expect(samples(6001, 1)).toBe('refused');
    expect(samples(1, 2)).toBe('block');
    expect(samples(1, null)).toBe('refused');
    expect(samples(4, 1, 3)).toBe('refused');
    expect(samples(4, 2, 8)).toBe('refused');
    expect(samples(0, 1)).toBe('refused');
  });
});

describe('a framed line among other bytes', () => {
  it('is read where it lies, its neighbours are no part of it', () => {
    const line = frameLine('@', `7,1000,2,${encodeInt16(Int16Array.of(5, -6))}`);
    const bytes = bytesOf(`,,9*${line},1*0000`);
    const end = 4 + line.length;
    expect(isWhole(bytes, 4, end)).toBe(true);
    expect(isWhole(bytes, 3, end)).toBe(false);
    expect(isWhole(bytes, 4, end - 1)).toBe(false);
    expect(isWhole(bytesOf(`x1*${crc16Hex('1')}`), 0, 7)).toBe(false);
    expect(parseFramedLine(bytes, 4, end, 1, new Int16Array(2))).toEqual({ kind: 'block', seq: 7, deviceUs: 1000, count: 2, counts: Int16Array.of(5, -6) });
    expect(parseFramedLine(bytes, 4, end, 1, new Int16Array(1))).toEqual({ kind: 'refused', why: 'malformed' });
    expect(looksFramed(bytes, 4, 5)).toBe(true);
    expect(looksFramed(bytesOf('#{'), 0, 1)).toBe(false);
    expect(looksFramed(bytesOf('a@'), 0, 2)).toBe(false);
    expect(looksFramed(bytesOf('@'), 0, 0)).toBe(false);
  });
});

describe('the quick reading of numbers', () => {
  const read = (text: string, room = 3, from = 0, end = text.length): number[] | null => {
    const out = new Float64Array(room);
    const count = readNumbers(bytesOf(text), from, end, out);
    return count < 0 ? null : [...out.subarray(0, count)];
  };

  it('gives what the careful one gives, and leaves to it what it does not know', () => {
    for (const line of ['0', '9', '-1.5,+2.25,.5', '12.,3', '999999999999999', '0.00000000000001', '1,2,3']) expect(read(line), line).toEqual(parseNumbers(line, 3));
    for (const line of ['', ',', '1,', ',1', '1,,2', '-', '.', '1.2.3', '1e3', ' 1', '1 ', '/', ':', '1234567890123456', '1;2', '1,2,3,4']) expect(read(line), line).toBeNull();
  });

  it('takes as many as there is room for, from its own bytes alone', () => {
    expect(read('1,2', 2)).toEqual([1, 2]);
    expect(read('1,2', 1)).toBeNull();
    expect(read('8,12,34', 3, 2, 4)).toEqual([12]);
    expect(read('1,-5', 3, 0, 3)).toBeNull();
  });
});

describe('counts in base64', () => {
  it('take two signs of padding at most, and only where they belong', () => {
    const read = int16Of;
    expect(read('AQACAA==', 2)).toEqual(Int16Array.of(1, 2));
    expect(read('AQACAA', 2)).toEqual(Int16Array.of(1, 2));
    for (const text of ['AQACAA=', 'AQACAA===', '=AQACAA=', 'AQACAA=A']) expect(read(text, 2), text).toBeNull();
    expect(read('AQACAAMA', 3)).toEqual(Int16Array.of(1, 2, 3));
    expect(read('AQACAAMA=', 3)).toBeNull();
    // whole fours all the same: three counts and eight signs of padding, one and five
    for (const [text, count] of [['AQACAAMA====', 3], ['AQA=====', 1], ['AQACAA======', 2]] as const) expect(read(text, count), text).toBeNull();
    expect(read('', 0)).toEqual(new Int16Array(0));
    expect(read('==', 0)).toBeNull();
    // padding belongs to the text, not to what comes before it
    expect(decodeInt16(bytesOf('=='), 2, 2, new Int16Array(0))).toBe(true);
  });

  it('hold every count of 16 bits', () => {
    const all = Int16Array.from({ length: 65_536 }, (_, i) => i - 32_768);
    const text = Buffer.from(all.buffer).toString('base64');
    expect(encodeInt16(all)).toBe(text);
    expect(int16Of(text, all.length)).toEqual(all);
  });

  it('have the 64 digits of RFC 4648 and no other character', () => {
    // 'A-Z', 'a-z', '0-9', '+' and '/'; in a step of eight and in the rest
    const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
    for (let code = 0; code < 256; code++) {
      const character = String.fromCharCode(code);
      expect([int16Of(`${character}AA`, 1) !== null, int16Of(`AAA${character}AAAA`, 3) !== null], String(code)).toEqual([alphabet.includes(character), alphabet.includes(character)]);
    }
  });

  it('refuse a character of another alphabet, in a step and after it', () => {
    const text = 'AQACAAMABAA=';
    expect(int16Of(text, 4)).toEqual(Int16Array.of(1, 2, 3, 4));
    for (let at = 0; at < 11; at += 1) {
      for (const foreign of ['\u0080', '\u00c1', '\u00ff', '-', '_', '=']) {
        const changed = text.slice(0, at) + foreign + text.slice(at + 1);
        expect(int16Of(changed, 4), `${at} ${foreign}`).toBeNull();
      }
    }
  });
});

describe('a column list', () => {
  const text = (list: string): string => {
    const answer = parseColumns(list);
    return answer.ok ? 'taken' : answer.text;
  };

  it('may be 2,000 characters and 64 entries long', () => {
    expect(text(`current="${'x'.repeat(1990)}"`)).toBe('taken');
    expect(text(`current="${'x'.repeat(1991)}"`)).toContain('2001 characters long');
    expect(text(`current${',skip'.repeat(63)}`)).toBe('taken');
    expect(text(`current${',skip'.repeat(64)}`)).toContain('names 65 columns');
  });

  it('is quoted in a refusal up to 60 characters', () => {
    expect(text(`current=${'"'.padEnd(52, 'x')}`)).toContain(`${'"'.padEnd(52, 'x')}`);
    expect(text(`current=${'"'.padEnd(52, 'x')}`)).not.toContain('…');
    expect(text(`current=${'"'.padEnd(53, 'x')}`)).toContain('x…');
  });

  it('lets columns be skipped more than once, and nothing else be named twice', () => {
    expect(text('skip,skip,current')).toBe('taken');
    for (const role of ['time', 'current', 'voltage']) expect(text(`current,${role},${role}`)).toContain('twice');
  });

  it('takes a scale from a billionth to a billion, either way round', () => {
    expect(['1e-9', '1e9', '-10', '0.5'].map((scale) => text(`current:A*${scale}`))).toEqual(['taken', 'taken', 'taken', 'taken']);
    for (const scale of ['0', '0.9e-9', '1.1e9', '-1.1e9', '1e10', 'ten']) expect(text(`current:A*${scale}`), scale).not.toBe('taken');
  });

  it('takes the quotes off a name', () => {
    const answer = parseColumns('current="a ""b":A');
    expect(answer.ok).toBe(false);
    const quoted = parseColumns('CURRENT = "a b" : mA');
    expect(quoted.ok && quoted.columns[0]).toEqual({ role: 'current', name: 'a b', factor: 1e-3, unit: 1e-3 });
  });

  it('for lines counts columns from 1 to 64', () => {
    const layout = (list: string): unknown => {
      const answer = parseColumns(list);
      return answer.ok ? lineLayout(answer.columns) : answer.text;
    };
    expect(layout('current=1')).toMatchObject({ fields: 1, currentAt: 0 });
    expect(layout('current,voltage')).toEqual({ fields: 2, timeAt: -1, currentAt: 0, voltageAt: 1, timeFactor: 1, currentFactor: 1, voltageFactor: 1 });
    expect(layout('current=64:mA,time=3:ms,voltage=2:mV')).toEqual({ fields: 64, timeAt: 2, currentAt: 63, voltageAt: 1, timeFactor: 1e-3, currentFactor: 1e-3, voltageFactor: 1e-3 });
    for (const list of ['current=0', 'current=65', 'current=100', 'current=1.5', 'current=-1']) expect(typeof layout(list), list).toBe('string');
    expect(layout('voltage=2,current')).toContain('named twice');
  });
});

describe('a plain line', () => {
  it('is read by how many numbers it has where nothing was said', () => {
    expect(plainLayout(1)).toMatchObject({ fields: 1, timeAt: -1, currentAt: 0, voltageAt: -1 });
    expect(plainLayout(2)).toMatchObject({ fields: 2, timeAt: -1, currentAt: 0, voltageAt: 1 });
    expect(plainLayout(3)).toMatchObject({ fields: 3, timeAt: 0, currentAt: 1, voltageAt: 2 });
  });

  it('may have blanks about its numbers, and words where nobody asked for a number', () => {
    expect(parseNumbers(' 1 , 2 ', 3)).toEqual([1, 2]);
    const second = lineLayout([{ role: 'current', name: '2', factor: 1 }]) as LineLayout;
    expect([parseNumbers('12:30,1.5,ok', 64, second), parseNumbers('1,x', 64, second), parseNumbers('12:30,1.5', 64)]).toEqual([[0, 1.5, 0], null, null]);
  });

  it('has as many numbers as are looked for, whichever separator is between them', () => {
    for (const separator of [',', ';', '\t', ' ']) {
      expect(parseNumbers(['1', '2', '3'].join(separator), 3), separator).toEqual([1, 2, 3]);
      expect(parseNumbers(['1', '2', '3', '4'].join(separator), 3), separator).toBeNull();
      expect(parseNumbers(Array<string>(64).fill('1').join(separator), 64), separator).toHaveLength(64);
      expect(parseNumbers(Array<string>(65).fill('1').join(separator), 64), separator).toBeNull();
    }
  });

  it('has numbers of up to 20 digits on each side of the dot', () => {
    expect(parseNumbers('12345678901234567890', 1)).toEqual([Number('12345678901234567890')]);
    expect(parseNumbers('123456789012345678901', 1)).toBeNull();
    expect(parseNumbers(`0.${'3'.repeat(20)}`, 1)).toEqual([1 / 3]);
    expect(parseNumbers(`0.${'3'.repeat(21)}`, 1)).toBeNull();
    expect(parseNumbers('.', 1)).toBeNull();
    expect(parseNumbers('-', 1)).toBeNull();
    expect(parseNumbers('+-1', 1)).toBeNull();
    expect(parseNumbers('1.2.3', 1)).toBeNull();
    expect(parseNumbers('1e99,1E-9', 2)).toEqual([1e99, 1e-9]);
    expect(parseNumbers('1e100', 1)).toBeNull();
    // 15 digits are read at a step, 16 by the language itself: both to the last bit
    for (const digits of ['999999999999999', '9999999999999999', '0.123456789012345', '0.1234567890123456', '-0.30000000000000004']) expect(parseNumbers(digits, 1)).toEqual([Number(digits)]);
  });

  it('with semicolons or tabs may have decimal commas, one in a number', () => {
    expect(parseNumbers('1,5;2', 3)).toEqual([1.5, 2]);
    expect(parseNumbers('1,5\t2', 3)).toEqual([1.5, 2]);
    expect(parseNumbers('1.5;2,5', 3)).toEqual([1.5, 2.5]);
    expect(parseNumbers('1,5,2;3', 3)).toBeNull();
    expect(parseNumbers('1.5,2;3', 3)).toBeNull();
    expect(parseNumbers('1;2\t3', 3)).toBeNull();
  });
});

describe('the splitter of lines', () => {
  it('forgets a half line, and an endless one, when the connection is opened again', () => {
    const lines: string[] = [];
    let tooLong = 0;
    const splitter = new LineSplitter((...line) => void lines.push(latin1(...line)), () => void (tooLong += 1));
    splitter.push(bytesOf('half'));
    splitter.reset();
    splitter.push(bytesOf('whole\n'));
    splitter.push(new Uint8Array(20_000).fill(65));
    splitter.reset();
    splitter.push(bytesOf('next\n\nafter\n'));
    expect(lines).toEqual(['whole', 'next', '', 'after']);
    expect(tooLong).toBe(1);
  });

  it('gives long lines whole, character by character', () => {
    const lines: string[] = [];
    const splitter = new LineSplitter((...line) => void lines.push(latin1(...line)), () => undefined);
    for (const length of [4095, 4096, 4097, 8192, 12_289]) {
      const text = Array.from({ length }, (_, i) => String.fromCharCode(32 + (i % 224))).join('');
      lines.length = 0;
      splitter.push(bytesOf(text));
      splitter.push(bytesOf('\n'));
      expect(lines).toEqual([text]);
    }
  });
});
