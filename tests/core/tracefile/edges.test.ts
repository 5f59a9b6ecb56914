import { describe, expect, it } from 'vitest';
import { csvCells, csvDelimiter } from '../../../src/core/tracefile/csv/cells.ts';
import { NumberCell } from '../../../src/core/tracefile/csv/number.ts';
import { endingsOf } from '../../../src/core/present/endings.ts';
import { FILE_FORMATS, formatOf, PICTURE_FORMATS, SAMPLE_FORMATS } from '../../../src/core/tracefile/formats.ts';
import { findHoles } from '../../../src/core/tracefile/gap-finder.ts';
import { gapRows, LISTED_GAPS, listGaps, longest } from '../../../src/core/tracefile/gap-list.ts';
import { photoKind } from '../../../src/core/tracefile/photo-kind.ts';

/** The smallest input on each side of what the small readers and lists of a trace's files decide. */

describe('a number in a cell', () => {
  const cell = new NumberCell();
  const read = (text: string, reader = new NumberCell()): number | string => (reader.read(Uint8Array.from(text, (letter) => letter.charCodeAt(0)), 0, text.length) ? reader.value : reader.fault!);

  it.each([
    ['0', 0], ['9', 9], ['-1.5', -1.5], ['+2', 2], ['.5', 0.5], ['5.', 5], [' \t7 ', 7], ['1e3', 1000], ['1E-3', 0.001], ['1e+2', 100], ['1,5', 1.5],
    // 15 digits and powers to 22 are done in one step, beyond that by the language: both to the last bit (Clinger 1990)
    ['123456789012345', 123_456_789_012_345], ['1234567890123456', 1_234_567_890_123_456], ['1e22', 1e22], ['1e23', 1e23], ['1e-22', 1e-22], ['1e-23', 1e-23], ['0.000000000000000000000123', 1.23e-22], ['000000000000000000001', 1],
  ])('%s is %d', (text, value) => {
    expect(read(text)).toBe(value);
  });

  it.each([
    ['', 'empty'], [' \t', 'empty'], ['x', 'not-a-number'], ['-', 'not-a-number'], ['.', 'not-a-number'], ['1e', 'not-a-number'], ['1e+', 'not-a-number'], ['1 2', 'not-a-number'], ['/', 'not-a-number'], [':', 'not-a-number'], ['1x', 'not-a-number'], ['1e5/', 'not-a-number'], ['1e5:', 'not-a-number'], ['1e/', 'not-a-number'],
    ['1.2.3', 'mixed-marks'], ['1,234.5', 'mixed-marks'], ['nan', 'not-finite'], ['-INF', 'not-finite'], ['#N/A', 'not-finite'], ['Infinity', 'not-finite'], ['1e999', 'not-finite'], ['infinitely', 'not-a-number'], ['#div/0!', 'not-a-number'],
  ])('"%s" is none: %s', (text, fault) => {
    expect(read(text)).toBe(fault);
  });

  it('keeps the decimal mark of its file: the other one is an error from then on', () => {
    expect([read('1,5', cell), read('2,5', cell), read('1.5', cell), read('3', cell), read('3,5', cell)]).toEqual([1.5, 2.5, 'mixed-marks', 3, 3.5]);
  });
});

describe('a table as spreadsheets write it', () => {
  it('is parted by the first semicolon or tab of its header, else by commas', () => {
    expect([csvDelimiter('a,b'), csvDelimiter('a;b,c'), csvDelimiter('a\tb;c'), csvDelimiter('')]).toEqual([',', ';', '\t', ',']);
  });

  it.each([
    ['a,b', ['a', 'b']], [' a , b ', ['a', 'b']], ['"a, b",c', ['a, b', 'c']], ['"say ""ho""",x', ['say "ho"', 'x']], ['', ['']], ['a,,b', ['a', '', 'b']],
    // a quote inside a word is part of it, and so is one that does not end its cell
    ['5" wheel,x', ['5" wheel', 'x']], ['"a" b,c', ['"a" b', 'c']], ['"open,c', ['"open', 'c']],
  ])('%j has the cells %j', (line, cells) => {
    expect(csvCells(line, ',')).toEqual(cells);
  });
});

describe('a hole in time', () => {
  const times = (...steps: number[]): Float64Array => {
    let atS = 0;
    return Float64Array.of(0, ...steps.map((stepS) => (atS += stepS)));
  };
  const even = (count: number, stepS = 1): number[] => Array.from({ length: count }, () => stepS);

  it('is an interval of more than three usual ones', () => {
    expect(findHoles(times(...even(10), 3, ...even(10)))).toEqual([]);
    expect(findHoles(times(...even(10), 3.5, ...even(10)))).toEqual([11]);
    expect(findHoles(times(1, 3.5))).toEqual([2]);
    expect(findHoles(times(1, 3))).toEqual([]);
    expect(findHoles(times(99))).toEqual([]);
    expect(findHoles(times())).toEqual([]);
    expect(findHoles(Float64Array.of())).toEqual([]);
    // beside a shorter one, 3 is still not more than three of 1
    expect(findHoles(times(0.5, ...even(10), 3, ...even(10)))).toEqual([]);
    expect(findHoles(times(0.5, ...even(10), 3.5, ...even(10)))).toEqual([12]);
  });

  it('is the same in any unit, and wherever in a trace its part lies', () => {
    const steps = [...even(64), ...even(40), 9, ...even(87)];
    expect(findHoles(times(...steps))).toEqual([105]);
    for (const unit of [2 ** -10, 2 ** 10]) expect(findHoles(times(...steps.map((stepS) => stepS * unit)))).toEqual([105]);
    expect(findHoles(times(...even(70, 50), ...steps), 70)).toEqual([175]);
  });

  it('is judged by the fifth longest of each hundred, in whatever order they come', () => {
    // half fast, half slow: the slow ones are usual, before the fast ones or behind them
    for (const half of [[...even(32, 10), ...even(32)], [...even(32), ...even(32, 10)]]) expect(findHoles(times(...even(64), ...half, ...even(64)))).toEqual([]);
    // index 0.8 x 63 = 50 of 64 in order of length: 14 slow ones leave a fast one there, 13 of 64 do not
    expect(findHoles(times(...even(51), ...even(13, 10)))).toHaveLength(13);
    expect(findHoles(times(...even(50), ...even(14, 10)))).toEqual([]);
  });

  it('is excused by a slow group before as by one behind', () => {
    const beside = [...even(60), ...even(4, 10)];
    const slow = even(64, 10);
    expect(findHoles(times(...even(64), ...beside, ...slow))).toEqual([]);
    expect(findHoles(times(...slow, ...beside.toReversed(), ...even(64)))).toEqual([]);
    expect(findHoles(times(...even(64), ...beside, ...even(64)))).toEqual([125, 126, 127, 128]);
  });

  it('is found once in a last group, which takes in what makes no whole one', () => {
    expect(findHoles(times(...even(90), 9, ...even(9)))).toEqual([91]);
    // 126 are one group, in which 25 slow ones are the exception; of 128 the second half has slow ones for its usual ones
    expect(findHoles(times(...even(101), ...even(25, 10)))).toHaveLength(25);
    expect(findHoles(times(...even(100, 50), ...even(101), ...even(25, 10)), 100)).toHaveLength(25);
    expect(findHoles(times(...even(103), ...even(25, 10)))).toEqual([]);
  });

  it('is judged by the slowest of its group of 64 and the two beside it', () => {
    // 64 fast, 64 slow: the first slow step beside the fast ones is none
    expect(findHoles(times(...even(64, 1), ...even(64, 10)))).toEqual([]);
    // with another fast group between, the slow one does not excuse it
    expect(findHoles(times(...even(30, 1), 10, ...even(97, 1), ...even(64, 10)))).toEqual([31]);
    expect(findHoles(times(...even(128, 1), ...even(30, 1), 4, ...even(33, 1)))).toEqual([159]);
  });

  it('is found within the part asked for alone', () => {
    const all = times(...even(5), 9, ...even(5), 9, ...even(5));
    expect(findHoles(all)).toEqual([6, 12]);
    expect(findHoles(all, 7)).toEqual([12]);
    expect(findHoles(all, 0, 12)).toEqual([6]);
  });
});

describe('the list of gaps', () => {
  const gap = (startS: number, lengthS: number) => ({ startS, endS: startS + lengthS });

  it('is whole up to a thousand, then the longest in order of time, with count and length of all', () => {
    const gaps = Array.from({ length: LISTED_GAPS }, (_, i) => gap(10 * i, 1));
    expect(longest(gaps)).toBe(gaps);
    const more = [...gaps, gap(20_000, 0.5), gap(30_000, 2)];
    const listed = longest(more);
    expect(listed).toHaveLength(1000);
    expect(listed.at(-1)).toEqual(gap(30_000, 2));
    expect(listed.some(({ startS }) => startS === 20_000)).toBe(false);
    expect(listed.every(({ startS }, i) => i === 0 || startS > listed[i - 1]!.startS)).toBe(true);
    expect(listGaps(more)).toMatchObject({ gap_count: 1002, gap_s: 1002.5 });
    expect(listGaps([gap(1, 2)])).toEqual({ gaps: [{ start_s: 1, end_s: 3 }], gap_count: 1, gap_s: 2 });
    expect(listGaps([])).toEqual({ gaps: [], gap_count: 0, gap_s: 0 });
  });

  it('as rows has a line each, up to a million', () => {
    expect([...gapRows([gap(1, 2), gap(5, 1)])].join('')).toBe('start_s,end_s\n1,3\n5,6\n');
    expect([...gapRows([])]).toEqual(['start_s,end_s\n']);
    // each row is the four characters 1,2 and a line end
    const rows = (count: number): number => [...gapRows(new Array<ReturnType<typeof gap>>(count).fill(gap(1, 1)))].slice(1).reduce((sum, { length }) => sum + length, 0) / 4;
    expect([rows(16_384), rows(16_385), rows(1_000_001)]).toEqual([16_384, 16_385, 1_000_000]);
  });
});

describe('the forms of a trace', () => {
  it('are known by their ending, in whatever letters', () => {
    expect(['.csv', '.CSV', 'csv', '.arrows', '.Parquet', '.zip', '.svg', '.png'].map(formatOf)).toEqual(['csv', 'csv', 'csv', 'arrows', 'parquet', 'zip', 'svg', 'png']);
    expect(['', '.', '.txt', '..csv', '.csv.gz', 'constructor'].map(formatOf)).toEqual([null, null, null, null, null, null]);
    expect([SAMPLE_FORMATS, PICTURE_FORMATS, FILE_FORMATS]).toEqual([['csv', 'arrows', 'parquet'], ['svg', 'png'], ['csv', 'arrows', 'parquet', 'zip']]);
    expect([endingsOf([]), endingsOf(['csv']), endingsOf(['csv', 'zip']), endingsOf(['csv', 'arrows', 'zip'])]).toEqual(['', '.csv', '.csv or .zip', '.csv, .arrows or .zip']);
  });
});

describe('the size of a photo', () => {
  const riff = (kind: string, ...rest: number[]): Uint8Array => Uint8Array.from([...'RIFF\0\0\0\0WEBP', ...kind].map((letter) => letter.charCodeAt(0)).concat(rest, new Array(40).fill(0)).slice(0, 40));
  const webp = (width: number, height: number) => ({ type: 'image/webp', ending: 'webp', widthPx: width, heightPx: height });

  it('of a WebP is read where its three kinds have it (RFC 6386 section 9.1, RFC 9649 sections 2.7 and 3.4)', () => {
    // from byte 16: length, then 26 and 28 hold 14 bits each; the two above are a scale
    expect(photoKind(riff('VP8 ', ...new Array(10).fill(0), 0x34, 0x52, 0x02, 0xc1))).toEqual(webp(0x1234, 0x102));
    // 14 bits of width less one, 14 of height less one, behind the signature 0x2f
    expect(photoKind(riff('VP8L', 0, 0, 0, 0, 0x2f, 0xff, 0xc4, 0xab, 0x02))).toEqual(webp(0x4ff + 1, ((0x2 << 10) | (0xab << 2) | 3) + 1));
    expect(photoKind(riff('VP8L', 0, 0, 0, 0, 0x2e, 0xff, 0xc4, 0xab, 0x02))).toBeNull();
    expect(photoKind(riff('VP8X', 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6))).toEqual(webp(0x030201 + 1, 0x060504 + 1));
    expect(photoKind(riff('VP9 ', ...new Array(10).fill(1)))).toBeNull();
    const whole = riff('VP8X', 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6);
    for (const at of [0, 3, 8, 11]) expect(photoKind(whole.map((byte, i) => (i === at ? byte ^ 1 : byte))), `byte ${at}`).toBeNull();
    expect(photoKind(riff('VP8X', 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6).subarray(0, 29))).toBeNull();
    expect(photoKind(riff('VP8X', 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6).subarray(0, 30))).not.toBeNull();
  });

  it('of a JPEG is read in its frame, whichever kind of frame that is (ITU-T T.81, table B.1)', () => {
    const jpeg = (marker: number, ...before: number[]): Uint8Array => Uint8Array.of(0xff, 0xd8, ...before, 0xff, marker, 0, 17, 8, 1, 2, 3, 4, 0, 0);
    for (const marker of [0xc0, 0xc1, 0xc2, 0xc3, 0xc5, 0xc7, 0xc9, 0xcb, 0xcd, 0xcf]) expect(photoKind(jpeg(marker)), marker.toString(16)).toEqual({ type: 'image/jpeg', ending: 'jpg', heightPx: 0x102, widthPx: 0x304 });
    for (const marker of [0xbf, 0xc4, 0xc8, 0xcc, 0xd0]) expect(photoKind(jpeg(marker)), marker.toString(16)).toBeNull();
    // fill bytes before a marker, and a segment of two bytes, are stepped over; one of a byte cannot be
    expect(photoKind(jpeg(0xc0, 0xff, 0xff))).not.toBeNull();
    expect(photoKind(jpeg(0xc0, 0xff, 0xe0, 0, 2))).not.toBeNull();
    expect(photoKind(jpeg(0xc0, 0xff, 0xe0, 0, 1))).toBeNull();
    expect(photoKind(jpeg(0xc0, 0xff, 0xe0, 0, 0))).toBeNull();
    // three bytes begin it; a marker begins with 0xff; the frame is read with the count of its parts
    for (const at of [0, 1, 2]) expect(photoKind(jpeg(0xc0).map((byte, i) => (i === at ? byte ^ 1 : byte))), `byte ${at}`).toBeNull();
    expect(photoKind(jpeg(0xc0, 0xff, 0xe0, 0, 2).map((byte, i) => (i === 6 ? 0xfe : byte)))).toBeNull();
    expect([photoKind(jpeg(0xc0).subarray(0, 11)), photoKind(jpeg(0xc0).subarray(0, 12))]).toEqual([null, { type: 'image/jpeg', ending: 'jpg', heightPx: 0x102, widthPx: 0x304 }]);
    expect(photoKind(jpeg(0xc0, 0xff, 0xe0, 1, 0, ...new Array(254).fill(0)))).not.toBeNull();
  });

  it('of a PNG is four bytes each, the highest first (PNG, 11.2.2)', () => {
    const png = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52, 0x80, 1, 2, 3, 0, 4, 5, 6);
    expect(photoKind(png)).toEqual({ type: 'image/png', ending: 'png', widthPx: 0x80010203, heightPx: 0x040506 });
    expect(photoKind(png.subarray(0, 23))).toBeNull();
    // no pixels one way or the other is no picture
    for (const lost of [[16, 20], [20, 24]]) expect(photoKind(png.map((byte, i) => (i >= lost[0]! && i < lost[1]! ? 0 : byte)))).toBeNull();
    for (let at = 0; at < 8; at++) expect(photoKind(png.map((byte, i) => (i === at ? byte ^ 1 : byte))), `byte ${at}`).toBeNull();
    expect(photoKind(png.map((byte, i) => (i === 15 ? 0x53 : byte)))).toBeNull();
  });
});
