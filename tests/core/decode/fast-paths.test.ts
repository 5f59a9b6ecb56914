import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeInt16, encodeInt16 } from '../../../src/core/decode/base64.ts';
import { crc16 } from '../../../src/core/decode/crc16.ts';
import { parseNumbers } from '../../../src/core/decode/number-line.ts';
import { plainCrc16, plainInt16, plainNumbers } from './plain.ts';

const latin1 = fc.uint8Array({ maxLength: 300 }).map((bytes) => String.fromCharCode(...bytes));
const counts = fc.array(fc.integer({ min: -32_768, max: 32_767 }), { maxLength: 40 }).map((list) => Int16Array.from(list));
const CHARACTERS = [...'AZaz09+/=-_ ,*\u00e9\u0141\u0410'];
const NUMBER_CHARACTERS = [...'0123456789', ...'0123456789', '.', '.', ',', ',', '+', '-', 'e', ' ', ';', '\t'];

describe('the fast reading of a logger\'s lines', () => {
  it('gives the checksum that its definition gives, of any part of any line', () => {
    expect(crc16('123456789')).toBe(0x29b1);
    fc.assert(
      fc.property(latin1, fc.nat(8), fc.nat(8), (text, skipped, left) => {
        const end = Math.max(skipped, text.length - left);
        expect(crc16(text, skipped, end)).toBe(plainCrc16(text.slice(skipped, end)));
      }),
      { numRuns: 500 },
    );
  });

  it('gives the counts that were sent, padded or not', () => {
    fc.assert(
      fc.property(counts, fc.boolean(), (sent, padded) => {
        const text = padded ? encodeInt16(sent) : encodeInt16(sent).replaceAll('=', '');
        expect(decodeInt16(`@${text}*`, 1, 1 + text.length, sent.length)).toEqual(sent);
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
        const read = decodeInt16(damaged, 0, damaged.length, sent.length);
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
        expect(parseNumbers(text, 1)).toEqual(plain !== null && plain.length <= 1 ? plain : null);
      }),
      { numRuns: 1000 },
    );
  });
});
