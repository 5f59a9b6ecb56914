import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { LineSplitter, MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import { bytesOf, collect, helloLine, SCALE_A, seeded, virtualLogger, type Collected } from './kit.ts';
import { frameLine } from './encode.ts';

/** A capture as bytes: half a line, hello, blocks with a notice, noise, a lost block, a restart, CRLF and LF mixed. */
function framedCapture(): Uint8Array {
  const first = virtualLogger({ blockSamples: 8, startSeq: 900, startUs: 2 ** 32 - 30_000 });
  const second = virtualLogger({ blockSamples: 8 });
  let text = `9,8,ABCD*12\n${helloLine()}\r\n`;
  for (let k = 0; k < 12; k += 1) text += k === 5 ? '@9,9,nonsense\n' : `${first.line(k)}${k % 3 === 0 ? '\r' : ''}\n`;
  text += `${frameLine('!', '912,66000,mark,the * button')}\n\n\u0000\u00fe\u0080\n`;
  for (let k = 0; k < 6; k += 1) text += `${second.line(k)}\n`;
  return bytesOf(text);
}

function numbersCapture(): Uint8Array {
  let text = '5,12\n';
  for (let n = 0; n < 60; n += 1) text += n === 30 ? 'nan,12\r\n' : `${n / 10},${12 + (n % 3)}${n % 7 === 0 ? '\r' : ''}\n`;
  return bytesOf(text);
}

/** All at one moment, so that only the splitting differs between two runs. */
function decode(bytes: Uint8Array, cuts: readonly number[], arrivalS: (index: number) => number = () => 5): { all: Collected; decoder: LineDecoder } {
  const all = collect();
  const decoder = new LineDecoder(null, all);
  let start = 0;
  for (const cut of [...cuts, bytes.length]) {
    decoder.push(bytes.subarray(start, cut), arrivalS(cut));
    start = cut;
  }
  decoder.end();
  return { all, decoder };
}

function facts({ all, decoder }: { all: Collected; decoder: LineDecoder }) {
  return { timeS: all.timeS, currentA: all.currentA, voltageV: all.voltageV, gaps: all.gaps, notices: all.notices, loggers: all.loggers, damage: decoder.damage };
}

describe('a stream', () => {
  it('gives the same samples, times and counts at every single split point', () => {
    const bytes = framedCapture();
    const whole = facts(decode(bytes, []));
    expect(whole.currentA.length).toBe(17 * 8);
    expect(whole.damage).toEqual({ badCrc: 0, malformed: 2, tooLong: 0, lostBlocks: 1, restarts: 1 });
    for (let cut = 1; cut < bytes.length; cut += 1) expect(facts(decode(bytes, [cut]))).toEqual(whole);
    expect(facts(decode(bytes, Array.from(bytes.keys()).slice(1)))).toEqual(whole);
  });

  it('gives the same samples for any split of the bytes', () => {
    const bytes = framedCapture();
    const whole = facts(decode(bytes, []));
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 1, max: bytes.length - 1 }), { maxLength: 60 }), (cuts) => {
        expect(facts(decode(bytes, cuts.sort((a, b) => a - b)))).toEqual(whole);
      }),
      { numRuns: 200 },
    );
  });

  it('of plain numbers gives the same values for any split, whenever the pieces arrive', () => {
    const bytes = numbersCapture();
    const whole = decode(bytes, Array.from(bytes.keys()).slice(1), (index) => 100 + index * 0.01);
    expect(whole.all.currentA).toHaveLength(59);
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 1, max: bytes.length - 1 }), { minLength: 8, maxLength: 60 }), (cuts) => {
        const some = decode(bytes, cuts.sort((a, b) => a - b), (index) => 100 + index * 0.01);
        expect(some.all.currentA).toEqual(whole.all.currentA);
        expect(some.decoder.damage).toEqual(whole.decoder.damage);
      }),
      { numRuns: 200 },
    );
  });

  it('cut off anywhere gives the samples of its whole lines, and nothing else', () => {
    const bytes = framedCapture();
    const whole = facts(decode(bytes, []));
    for (let length = 0; length < bytes.length; length += 1) {
      const { currentA } = facts(decode(bytes.subarray(0, length), []));
      expect(currentA).toEqual(whole.currentA.slice(0, currentA.length));
    }
  });

  it('mutated anyhow never throws, never gives what is no number, and never a value that was not sent', () => {
    const bytes = framedCapture();
    const sent = new Set(facts(decode(bytes, [])).currentA);
    fc.assert(
      fc.property(fc.array(fc.record({ at: fc.nat(bytes.length - 1), to: fc.nat(255), kind: fc.constantFrom('change', 'remove', 'double', 'end') }), { minLength: 1, maxLength: 12 }), (edits) => {
        const mutated = mutate(bytes, edits);
        const { all } = decode(mutated, [mutated.length >> 1]);
        for (const currentA of all.currentA) expect(sent.has(currentA)).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it('of any bytes at all neither throws nor gives what is no number', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 2000 }), fc.double({ min: 0, max: 1e6, noNaN: true }), (bytes, arrivalS) => {
        decode(bytes, [], () => arrivalS);
      }),
      { numRuns: 200 },
    );
  });

  it('of any lines with fitting checksums neither throws nor lets time fall', () => {
    const uint = fc.oneof(fc.nat(20), fc.constantFrom(2 ** 31, 2 ** 32 - 1, 2 ** 32, 65_535), fc.nat());
    const line = fc.oneof(
      fc.tuple(uint, uint, fc.nat(40)).map(([seq, us, n]) => virtualBlock(seq, us, n)),
      fc.tuple(fc.double({ min: 1e-4, max: 2e6, noNaN: true }), fc.double(), fc.double()).map(([rate, scale, zero]) => helloLine({ rate_hz: rate, channels: [{ name: 'current', unit: 'A', scale, zero }] })),
      fc.constant(helloLine()),
      fc.json().map((json) => frameLine('#', json.startsWith('{') ? json : `{"channels":${json}}`)),
      fc.tuple(uint, uint, fc.string()).map(([seq, us, text]) => frameLine('!', `${seq},${us},code,${text.replace(/\n/g, ' ')}`)),
      fc.tuple(fc.double(), fc.double(), fc.double()).map((numbers) => numbers.join(',')),
      fc.constant('reopen'),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(line, fc.double({ min: 0, max: 10, noNaN: true })), { maxLength: 80 }), (steps) => {
        const all = collect();
        const decoder = new LineDecoder(null, all);
        let nowS = 0;
        for (const [text, waitS] of steps) {
          nowS += waitS;
          decoder.tick(nowS);
          if (text === 'reopen') decoder.reopened();
          else decoder.push(bytesOf(`${text}\n`), nowS);
        }
        decoder.end();
      }),
      { numRuns: 500 },
    );
  });
});

describe('endless garbage', () => {
  it('without a line end keeps at most one line, and is counted once', () => {
    let lines = 0;
    let tooLong = 0;
    const splitter = new LineSplitter(() => void (lines += 1), () => void (tooLong += 1));
    const piece = new Uint8Array(65_536).fill(0x55);
    for (let i = 0; i < 1000; i += 1) splitter.push(piece);
    splitter.push(bytesOf('tail\nwhole\n'));
    expect([lines, tooLong]).toEqual([1, 1]);
  });

  it('of the longest line passes, one byte more does not', () => {
    const lengths: number[] = [];
    let tooLong = 0;
    const splitter = new LineSplitter((_bytes, start, end) => void lengths.push(end - start), () => void (tooLong += 1));
    for (const length of [MAX_LINE_BYTES - 1, MAX_LINE_BYTES, MAX_LINE_BYTES + 1, 3]) splitter.push(bytesOf(`${'x'.repeat(length)}\n`));
    expect(lengths).toEqual([MAX_LINE_BYTES - 1, MAX_LINE_BYTES, 3]);
    expect(tooLong).toBe(1);
  });

  it('leaves no memory behind: 8 MB of noise and of numbers at one moment', () => {
    const all = { ...collect(), samples: () => undefined, gap: () => undefined };
    const random = seeded(4);
    const noise = Uint8Array.from({ length: 250_000 }, () => Math.floor(random() * 256));
    const numbers = bytesOf('1.5,12\n'.repeat(35_000));
    for (const piece of [noise, numbers]) {
      const decoder = new LineDecoder(null, all);
      decoder.push(piece, 1);
      const before = process.memoryUsage().heapUsed;
      for (let i = 0; i < 16; i += 1) decoder.push(piece, 1);
      // 50,000 lines kept while their pace is measured, a few hundred bytes each, and what the collector has not yet freed
      expect(process.memoryUsage().heapUsed - before).toBeLessThan(64e6);
      decoder.push(bytesOf(`\n${helloLine()}\n${virtualLogger().line(0)}\n`), 2);
      expect(decoder.kind).toBe('logger');
    }
  });
});

type Edit = { at: number; to: number; kind: string };

function mutate(bytes: Uint8Array, edits: readonly Edit[]): Uint8Array {
  const list = [...bytes];
  for (const { at, to, kind } of edits) {
    const place = at % list.length;
    if (kind === 'change') list[place] = to;
    else if (kind === 'remove') list.splice(place, 1 + (to % 40));
    else if (kind === 'double') list.splice(place, 0, ...list.slice(place, place + to));
    else list.splice(place, 0, 10);
    if (list.length === 0) list.push(10);
  }
  return Uint8Array.from(list);
}

function virtualBlock(seq: number, deviceUs: number, count: number): string {
  const counts = Int16Array.from({ length: count }, (_, i) => i);
  return frameLine('@', `${seq},${deviceUs},${count},${Buffer.from(counts.buffer).toString('base64')}`);
}

it('the property tests compare values that are exact in float32', () => {
  expect(decode(framedCapture(), []).all.currentA[3]).toBe(Math.fround(3 * SCALE_A));
});
