import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc16OfBytes } from '../../../src/core/decode/crc16.ts';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { parseNumbers, readNumbers } from '../../../src/core/decode/number-line.ts';
import { blockLine, bytesOf, collect, countingBlock, helloLine, int16Of, SCALE_A } from './kit.ts';
import { plainBlocks, plainCrc16, plainInt16, plainNumbers } from './plain.ts';
import { encodeInt16 } from './encode.ts';

const latin1 = fc.uint8Array({ maxLength: 300 }).map((bytes) => String.fromCharCode(...bytes));
const counts = fc.array(fc.integer({ min: -32_768, max: 32_767 }), { maxLength: 40 }).map((list) => Int16Array.from(list));
const CHARACTERS = [...'AZaz09+/=-_ ,*\u00e9'];
const NUMBER_CHARACTERS = [...'0123456789', ...'0123456789', '.', '.', ',', ',', '+', '-', 'e', ' ', ';', '\t'];

describe('the fast reading of a logger\'s lines', () => {
  it('gives the checksum that its definition gives, of any part of any line', () => {
    expect(plainCrc16('123456789')).toBe(0x29b1);
    fc.assert(
      fc.property(latin1, fc.nat(8), fc.nat(8), (text, skipped, left) => {
        const end = Math.max(skipped, text.length - left);
        expect(crc16OfBytes(bytesOf(text), skipped, end)).toBe(plainCrc16(text.slice(skipped, end)));
      }),
      { numRuns: 500 },
    );
  });

  it('gives the counts that were sent, padded or not', () => {
    fc.assert(
      fc.property(counts, fc.boolean(), (sent, padded) => {
        const text = padded ? encodeInt16(sent) : encodeInt16(sent).replaceAll('=', '');
        expect(int16Of(text, sent.length)).toEqual(sent);
        expect(plainInt16(text, sent.length)).toEqual([...sent]);
      }),
      { numRuns: 300 },
    );
  });

  it('refuses what the plain reading refuses, wherever a character is wrong, missing or too many', () => {
    fc.assert(
      fc.property(counts, fc.nat(120), fc.constantFrom(...CHARACTERS), fc.constantFrom('put', 'insert', 'drop'), (sent, where, character, how) => {
        const text = encodeInt16(sent);
        const at = Math.min(where, text.length);
        const damaged = text.slice(0, at) + (how === 'drop' ? '' : character) + text.slice(how === 'insert' ? at : at + 1);
        const read = int16Of(damaged, sent.length);
        expect(read === null ? null : [...read]).toEqual(plainInt16(damaged, sent.length));
      }),
      { numRuns: 1000 },
    );
  });

  it('gives the numbers that the language itself reads, to the last bit', () => {
    const decimal = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 });
    fc.assert(
      fc.property(fc.array(decimal, { minLength: 1, maxLength: 3 }), fc.nat(20), (values, places) => {
        const line = values.map((value) => value.toFixed(places)).join(',');
        expect(parseNumbers(line, 3)).toEqual(plainNumbers(line));
        const read = quick(line, 3);
        if (read !== null) expect(read).toEqual(plainNumbers(line));
      }),
      { numRuns: 500 },
    );
  });

  it('refuses the lines that the plain reading refuses', () => {
    const line = fc.array(fc.constantFrom(...NUMBER_CHARACTERS), { maxLength: 24 }).map((characters) => characters.join(''));
    fc.assert(
      fc.property(line.filter((text) => text.includes(',') && !/[;\t]/.test(text)), (text) => {
        const plain = plainNumbers(text);
        expect(parseNumbers(text, 64)).toEqual(plain);
        const read = quick(text, 64);
        // what it does not take is looked at closely; what it takes is right
        if (read !== null) expect(read).toEqual(plain);
        expect(parseNumbers(text, 1)).toEqual(plain !== null && plain.length <= 1 ? plain : null);
      }),
      { numRuns: 1000 },
    );
  });

  it('takes the usual lines at once: numbers of up to fifteen digits', () => {
    expect(quick('-1.250,12.6', 3)).toEqual([-1.25, 12.6]);
    expect(quick('1,2,3,4', 3)).toBeNull();
    expect([quick('', 3), quick('1,', 3), quick('1 ,2', 3), quick('1e3', 3), quick('1234567890123456', 3)]).toEqual([null, null, null, null, null]);
  });

  it('gives the blocks that a reading by text gives, whatever is damaged and however the bytes are cut', () => {
    const whole = Array.from({ length: 10 }, (_, k) => blockLine(k, k * 7000, countingBlock(k * 7, 7))).join('\n');
    const edit = fc.record({ at: fc.nat(whole.length - 1), to: fc.oneof(fc.constantFrom(10, 13, 42, 44, 61, 64), fc.nat(255)), how: fc.constantFrom('put', 'insert', 'drop') });
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 5 }), fc.array(fc.nat(whole.length), { maxLength: 30 }), fc.boolean(), (edits, cuts, bytewise) => {
        let text = whole;
        for (const { at, to, how } of edits) text = text.slice(0, at) + (how === 'drop' ? '' : String.fromCharCode(to)) + text.slice(how === 'insert' ? at : at + 1);
        const bytes = bytesOf(`tail\n${helloLine()}\n${text}\n`);
        const all = collect();
        const decoder = new LineDecoder(null, all);
        const ends = [...(bytewise ? bytes.keys() : cuts.sort((a, b) => a - b)), bytes.length];
        let from = 0;
        for (const end of ends) {
          decoder.feed(bytes.subarray(from, Math.max(from, end)), 1);
          from = Math.max(from, end);
        }
        // a block out of its place in time may be kept back or refused; what is given is what was sent, and in its order
        const plain = plainBlocks(`${text}\n`, 2).map((counts) => counts.map((count) => Math.fround(count * SCALE_A)).join());
        const given = all.currentA.length / 7;
        const blocks = Array.from({ length: given }, (_, k) => all.currentA.slice(7 * k, 7 * k + 7).join());
        let at = 0;
        for (const block of blocks) {
          while (at < plain.length && plain[at] !== block) at += 1;
          expect(at).toBeLessThan(plain.length);
          at += 1;
        }
        if (edits.length === 0) expect(blocks).toEqual(plain);
        else expect(plain.length - blocks.length).toBeLessThanOrEqual(decoder.damage.malformed + 1);
      }),
      { numRuns: 400 },
    );
  });
});

/** The numbers that are read without a closer look; null where one is needed. */
function quick(line: string, most: number): number[] | null {
  const out = new Float64Array(most);
  const bytes = bytesOf(line);
  const count = readNumbers(bytes, 0, bytes.length, out);
  return count < 0 ? null : [...out.subarray(0, count)];
}
