import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseColumns, type ColumnSpec } from '../../../src/core/decode/columns.ts';
import { BLOCK_ROWS, CsvReader, csvHeader, csvRows, type CsvOptions } from '../../../src/core/tracefile/csv/csv.ts';
import { CsvRows } from '../../../src/core/tracefile/csv/rows.ts';
import { readCsv } from './read-csv.ts';
import { joinBlocks, type SampleBlock, type Trace } from '../../../src/core/trace.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

function columns(list: string): readonly ColumnSpec[] {
  const answer = parseColumns(list);
  if (!answer.ok) throw new Error(answer.text);
  return answer.columns;
}

function read(text: string | Uint8Array, options: CsvOptions = {}): Trace {
  const { blocks, summary } = readCsv(typeof text === 'string' ? bytes(text) : text, options);
  if (summary.refusal !== null) throw new Error(summary.refusal.text);
  return joinBlocks(blocks, summary.gaps);
}

function refusal(text: string, options: CsvOptions = {}): string {
  const { refusal: problem } = readCsv(bytes(text), options).summary;
  return problem === null ? 'read' : `${problem.code}: ${problem.text}`;
}

describe('CSV in its own form', () => {
  it('is read with and without voltage, comments before the header stepped over', () => {
    expect(read('# made by hand\n#\ntime_s,current_a\n0,1.5\n0.001,-2e-1\n')).toEqual({ timeS: Float64Array.of(0, 0.001), currentA: Float32Array.of(1.5, -0.2), voltageV: null, gaps: [] });
    expect(read('time_s,current_a,voltage_v\n0,1,12.5\n1,2,12.25').voltageV).toEqual(Float32Array.of(12.5, 12.25));
  });

  it('is read whatever its line ends, byte-order mark, spaces, capitals and order of columns', () => {
    const wanted = read('time_s,current_a\n0,1\n1,2\n');
    for (const text of ['time_s,current_a\r\n0,1\r\n1,2\r\n', 'time_s,current_a\r0,1\r1,2', '\uFEFFtime_s,current_a\n0,1\n1,2\n', ' Time_S , CURRENT_A \n 0 , 1 \n\n1,\t2 \n\n', 'current_a,time_s\n1,0\n2,1\n', 'sep=,\r\ntime_s,current_a\r\n0,1\r\n1,2\r\n', '"time_s","current_a"\n"0","1"\n"1","2"\n', 'time_s,current_a\n0,1,\n1,2,\n']) {
      expect(read(text), JSON.stringify(text)).toEqual(wanted);
    }
  });

  it('survives writing and reading: every time and every reading comes back to the last bit', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.double({ min: 1e-9, max: 1e3, noNaN: true }), fc.float({ noNaN: true, noDefaultInfinity: true }), fc.float({ noNaN: true, noDefaultInfinity: true })), { minLength: 1, maxLength: 60 }), fc.boolean(), (rows, withVoltage) => {
        let atS = 0;
        const times = rows.map(([stepS]) => (atS += stepS)).filter((time, i, all) => i === 0 || time > all[i - 1]!);
        const block: SampleBlock = { timeS: Float64Array.from(times), currentA: Float32Array.from(times, (_, i) => rows[i]![1] + 0), voltageV: withVoltage ? Float32Array.from(times, (_, i) => rows[i]![2] + 0) : null };
        const back = read(csvHeader(withVoltage, ['a comment\nwith a break']) + csvRows(block, withVoltage));
        expect(back.timeS).toEqual(block.timeS);
        expect([...back.currentA]).toEqual([...block.currentA].map((value) => value + 0));
        if (withVoltage) expect([...back.voltageV!]).toEqual([...block.voltageV!].map((value) => value + 0));
      }),
      { numRuns: 200 },
    );
  });

  it('is written with a remark a line, and numbers no longer than they must be', () => {
    expect(csvHeader(true, ['bench\r\nseat', 'two'])).toBe('# bench seat\n# two\ntime_s,current_a,voltage_v\n');
    // a third has eight digits as a float32; 16,777,217 is the first whole number that it has not
    const block = { timeS: Float64Array.of(0, 0.1, 0.2), currentA: Float32Array.of(0.1, 1 / 3, 16_777_217), voltageV: Float32Array.of(12.6, 12, 1e-9) };
    expect(csvRows(block, false)).toBe('0,0.1\n0.1,0.33333334\n0.2,16777216\n');
    expect(csvRows(block, true)).toBe('0,0.1,12.6\n0.1,0.33333334,12\n0.2,16777216,1e-9\n');
    expect(csvRows({ ...block, voltageV: null }, true)).toBe(csvRows(block, false));
  });

  it('gives the same samples however its bytes are cut into chunks', () => {
    const text = bytes('\uFEFF# a\r\n"time_s";"current_a";text\r\n0;"1,5";"x;""y"""\r\n0,5;-2;\r\n\r\n1;"3";z');
    const whole = readCsv(text);
    expect(whole.summary.refusal).toBeNull();
    for (let first = 0; first <= text.length; first++) {
      for (const second of [first, Math.min(text.length, first + 1), Math.min(text.length, first + 7)]) {
        const blocks: SampleBlock[] = [];
        const reader = new CsvReader({}, (block) => blocks.push(block));
        reader.push(text.slice(0, first));
        reader.push(text.slice(first, second));
        reader.push(text.slice(second));
        expect(reader.end(), `cut at ${first} and ${second}`).toEqual(whole.summary);
        expect(blocks).toEqual(whole.blocks);
      }
    }
  });
});

describe('numbers in CSV', () => {
  it('are read as JavaScript reads them, digit for digit (ECMA-262, StringToNumber)', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e300, max: 1e300, noNaN: true }), fc.constantFrom('plain', 'fixed', 'exponent'), (value, form) => {
        const text = form === 'plain' ? String(value) : form === 'fixed' && Math.abs(value) < 1e20 ? value.toFixed(12) : value.toExponential(9);
        const time = read(`time_s,current_a\n${text},0\n`).timeS[0]!;
        expect(time).toBe(Number(text));
      }),
      { numRuns: 2000 },
    );
  });

  it('are the same as those a general CSV reader finds (DuckDB), in files of both decimal marks, quoted or not', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'amptrail-csv-'));
    const path = join(folder, 'file.csv');
    const connection = await (await DuckDBInstance.create()).connect();
    const cell = fc.tuple(fc.integer({ min: -9999, max: 9999 }), fc.integer({ min: 0, max: 3 }), fc.boolean());
    try {
      await fc.assert(
        fc.asyncProperty(fc.array(fc.tuple(cell, fc.constantFrom('', 'x', '"a, b; c"', '"say ""so"""', '" two\nlines "')), { minLength: 1, maxLength: 30 }), fc.constantFrom(',', ';', '\t'), async (rows, delimiter) => {
          const mark = delimiter === ',' ? '.' : ',';
          const lines = rows.map(([[value, decimals, quoted], note], i) => [i, note, `${quoted ? '"' : ''}${(value / 1000).toFixed(decimals).replace('.', mark)}${quoted ? '"' : ''}`].join(delimiter));
          const text = `${['time_s', 'note', 'current_a'].join(delimiter)}\n${lines.join('\n')}\n`;
          writeFileSync(path, text);
          const general = await connection.runAndReadAll(`select current_a from read_csv('${path}', delim = '${delimiter}', quote = '"', escape = '"', header = true, all_varchar = true)`);
          expect([...read(text).currentA]).toEqual(general.getRows().map((row) => Math.fround(Number(String(row[0]).replace(',', '.')))));
        }),
        { numRuns: 60 },
      );
    } finally {
      connection.closeSync();
      rmSync(folder, { recursive: true });
    }
  });
});

describe('CSV of other people', () => {
  it('is read by names and units, from German spreadsheets with semicolons and decimal commas too', () => {
    const trace = read('\uFEFFZeit [ms];Strom links;"U, Batterie"\r\n0;1500;12,6\r\n"2,5";-1500,5;"12,55"\r\n', { columns: columns('time=Zeit [ms]:ms,current=strom links:mA,voltage="U, Batterie":V') });
    expect(trace).toEqual({ timeS: Float64Array.of(0, 0.0025), currentA: Float32Array.of(1.5, -1.5005), voltageV: Float32Array.of(12.6, 12.55), gaps: [] });
  });

  it('is read by column numbers and a rate where it has no header and no time', () => {
    expect(read('7;250\n8;500\n9;750\n', { columns: columns('current=2:mA'), rateHz: 1000 })).toEqual({ timeS: Float64Array.of(0, 0.001, 0.002), currentA: Float32Array.of(0.25, 0.5, 0.75), voltageV: null, gaps: [] });
    expect(read('Nr,I\n1,0.5\n2,0.25\n', { columns: columns('current=2:A'), rateHz: 2 }).timeS).toEqual(Float64Array.of(0, 0.5));
  });

  it('is read by the places of its columns where they have no names in the list', () => {
    expect(read('x,y\n0,1\n2,3\n', { columns: columns('time,current') })).toMatchObject({ timeS: Float64Array.of(0, 2), currentA: Float32Array.of(1, 3), voltageV: null });
    expect(refusal('x,y\n0,1\n', { columns: columns('time,current,voltage') })).toMatch(/^wrong-format: .*no column 3/);
    // a first row with a number in it is no header
    expect(refusal('x,5\n0,1\n', { columns: columns('time,current') })).toMatch(/^bad-row: Line 1, column 1/);
  });

  it('is read in Latin-1 as old spreadsheets write it', () => {
    const text = Uint8Array.from('Zeit;Strom µA\r\n0;7000000\r\n1;8000000\r\n', (letter) => letter.charCodeAt(0));
    expect(read(text, { columns: columns('time=Zeit:s,current=Strom µA:uA') }).currentA).toEqual(Float32Array.of(7, 8));
  });
});

describe('a bad file', () => {
  const head = 'time_s,current_a,voltage_v\n0,1,12\n';
  it.each([
    ['a word', `${head}1,x,12\n`, /^bad-row: Line 3, column 2 \(current_a\): "x" is not a number\. Correct the row, or skip rows that cannot be read\.$/],
    ['two words, by the first,', `${head}1,x,12\n2,y,12\n`, /^bad-row: Line 3, column 2 \(current_a\): "x"/],
    ['a quote in a name', 'time_s,"a ""b"" c"\n0,1\n', /The header has: time_s, a "b" c\./],
    ['an empty cell', `${head}1,,12\n`, /^bad-row: Line 3, column 2 \(current_a\): the cell is empty/],
    ['NaN', `${head}1,2,nan\n`, /^bad-row: Line 3, column 3 \(voltage_v\): "nan" is not a reading/],
    ['infinity', `${head}1,-Infinity,12\n`, /column 2 .*not a reading/],
    ['a number past float64', `${head}1e999,1,12\n`, /column 1 .*not a reading/],
    ['a number past float32', `${head}1,1e39,12\n`, /column 2 .*beyond/],
    ['a missing cell', `${head}1,2\n`, /^bad-row: Line 3: it has 2 cells and the first row has 3/],
    ['an unquoted decimal comma', `time_s,current_a\n0,1,5\n`, /^bad-row: Line 2: it has 3 cells and the first row has 2/],
    ['thousands marks', `time_s;current_a\n0;1.234,5\n`, /mixes dot and comma/],
    ['both decimal marks in one file', `time_s;current_a\n0;1.5\n1;1,234\n`, /Line 3, column 2 .*mixes dot and comma/],
    ['time that stands still', `${head}0,2,12\n`, /^time-not-rising: Line 3, column 1 \(time_s\): 0 s does not come after 0 s/],
    ['time that falls', `${head}-1,2,12\n`, /^time-not-rising/],
    ['a comment among the rows', `${head}# pause\n1,2,12\n`, /^bad-row: Line 3/],
    ['no current', 'time_s,amps\n0,1\n', /^no-current-column: Line 1: There is no column current_a .* The header has: time_s, amps\. .*--columns/],
    ['no header', '0,1\n1,2\n', /^no-current-column: .*time=1:s,current=2:A/],
    ['no time and no rate', 'current_a\n1\n', /^no-rate: .*--rate/],
    ['no rows', 'time_s,current_a\n', /^no-samples/],
    ['nothing', '', /^no-samples/],
    ['a line without an end', 'x'.repeat(200_000), /^wrong-format: Line 1 is longer than/],
    ['a quote never closed', `${head}1,"2,12\n${'1,2,12\n'.repeat(20_000)}`, /^wrong-format: Line \d+ is longer than/],
  ])('with %s is refused, saying where and what to do', (_, text, wanted) => {
    expect(refusal(text)).toMatch(wanted);
  });

  it.each([
    ['a row of nothing but tabs', 'name\tcurrent_a\na\t1\n\t\n', /^bad-row: Line 3, column 2 \(current_a\): the cell is empty/],
    ['a row of nothing but tabs and a time', 'time_s\tcurrent_a\n0\t1\n\t\n', /^bad-row: Line 3, column 1 \(time_s\): the cell is empty/],
    ['a word behind lines of CR LF', 'time_s,current_a\r\n0,1\r\n1,2\r\n2,x\r\n', /^bad-row: Line 4, column 2/],
    ['a word behind lines of CR', 'time_s,current_a\r0,1\r1,x\r', /^bad-row: Line 3, column 2/],
    ['a word behind a cell of two lines', 'name,current_a\n"a\nb",1\nc,x\n', /^bad-row: Line 4, column 2/],
    ['a word behind blank lines and remarks', '# a\n \t\ntime_s,current_a\n\t\n0,x\n', /^bad-row: Line 5, column 2/],
    ['a word in quotes', 'time_s,current_a\n0,"x"\n', /"x" is not a number/],
    ['a second empty cell at its end', 'time_s,current_a\n0,1,,\n', /^bad-row: Line 2: it has 4 cells and the first row has 2/],
    ['an empty cell in mid-row', 'time_s,current_a,voltage_v\n0,,12\n', /column 2 .*the cell is empty/],
    ['a letter behind a number', 'time_s;current_a\n0;1.5x\n', /"1.5x" is not a number/],
    ['a dot in an exponent', 'time_s;current_a\n0;1e5.5\n', /"1e5.5" is not a number/],
    ['two dots in a number', 'time_s;current_a\n0;1.5.5\n', /mixes dot and comma/],
    ['a long word', `time_s,current_a\n0,${'x'.repeat(41)}\n`, new RegExp(`: "${'x'.repeat(40)}" is not`)],
  ])('with %s is refused at its place', (_, text, wanted) => {
    expect(refusal(text, text.startsWith('name') ? { rateHz: 10 } : {})).toMatch(wanted);
  });

  it('whose column is to be two things is refused', () => {
    expect(refusal('x,i\n0,1\n', { columns: columns('time=1:s,current=x:A') })).toMatch(/^wrong-format: Line 1: .*1.*x.*twice/);
    expect(refusal('x,i\n0,1\n', { columns: columns('time=1:s,current=2:A') })).toBe('read');
  });

  it('without a time needs a rate above 0', () => {
    for (const rateHz of [0, -1, Number.NaN, Infinity]) expect(refusal('current_a\n1\n', { rateHz }), String(rateHz)).toMatch(/^no-rate: .*must be/);
    expect(refusal('current_a\n1\n', { rateHz: 1e-3 })).toBe('read');
  });

  it('has its head read as its lines come, a carriage return once it is seen not to be half of a line end', () => {
    const rows = new CsvRows(null, null, { row: () => null, bad: () => true, unusable: () => undefined });
    const after = (text: string): number => {
      rows.push(bytes(text));
      return rows.comments.length;
    };
    expect([after('# one\n# two\n'), after('# three\r'), after('\n'), after('# four\r\n')]).toEqual([2, 2, 3, 4]);
    // and in a piece of any length
    expect(refusal(`# a\r\ntime_s,current_a\r\n${Array.from({ length: 10_000 }, (_, i) => `${i},1\r\n`).join('')}`)).toBe('read');
  });

  it('has lines of up to 64 KiB', () => {
    const long = (length: number): string => refusal(`time_s,current_a,note\n0,1,${'x'.repeat(length - 4)}`);
    // one byte more than is kept, and no end of line in sight
    expect([long(65_536), long(65_537)]).toEqual(['read', 'wrong-format: Line 2 is longer than 65536 bytes: this is not a table of readings.']);
  });

  it('in UTF-16 of either order is refused, and so is one with zeros', () => {
    for (const head of [[0xff, 0xfe, 0x74, 0x20], [0xfe, 0xff, 0x20, 0x74], [0, 0x74, 0x20, 0x20], [0x74, 0x20, 0x20, 0]]) expect(readCsv(Uint8Array.from([...head, 0x69, 0x0a])).summary.refusal?.code, String(head)).toBe('wrong-format');
    for (const head of [[0xff, 0x74], [0xfe, 0x74]]) expect(readCsv(Uint8Array.from([...head, 0x74, 0x69, 0x0a])).summary.refusal?.text, String(head)).not.toMatch(/not plain text/);
  });

  it('that is not text is refused in words', () => {
    const utf16 = Uint8Array.from([0xff, 0xfe, 0x74, 0, 0x69, 0]);
    expect(readCsv(utf16).summary.refusal?.text).toMatch(/not plain text in UTF-8.*CSV UTF-8/);
    expect(readCsv(Uint8Array.from([0x50, 0x4b, 3, 4, 0, 0])).summary.refusal?.code).toMatch(/no-current-column|wrong-format/);
  });

  it('with bad rows is read with skipBad: they are listed, counted and left out', () => {
    const { blocks, summary } = readCsv(bytes('time_s,current_a\n0,1\n1,x\n2,\n1.5,3\nrubbish\n3,4\n0,9\n'), { skipBad: true });
    expect([...joinBlocks(blocks, []).timeS]).toEqual([0, 1.5, 3]);
    expect(summary.skipped).toBe(4);
    expect(summary.problems.map((problem) => problem.text)).toEqual([
      'Line 3, column 2 (current_a): "x" is not a number.',
      'Line 4, column 2 (current_a): the cell is empty.',
      'Line 6: it has 1 cells and the first row has 2.',
      'Line 8, column 1 (time_s): 0 s does not come after 3 s in the row before.',
      '4 bad rows were left out of 7.',
    ]);
  });

  it('with very many bad rows lists twenty of them', () => {
    const { summary } = readCsv(bytes(`time_s,current_a\n0,1\n${'x,y\n'.repeat(100_000)}`), { skipBad: true });
    expect(summary.skipped).toBe(100_000);
    expect(summary.problems).toHaveLength(21);
  });
});

describe('a hole in time', () => {
  const rows = (from: number, to: number, stepS: number): string => Array.from({ length: Math.round((to - from) / stepS) }, (_, i) => `${(from + i * stepS).toFixed(6)},1\n`).join('');
  const gapsOf = (body: string): unknown => readCsv(bytes(`time_s,current_a\n${body}`)).summary.gaps;

  it('becomes a gap when it is longer than three usual intervals, and not before', () => {
    expect(gapsOf(rows(0, 1, 0.01) + rows(1.0199, 2, 0.01))).toEqual([]);
    expect(gapsOf(rows(0, 1, 0.01) + rows(1.0201, 2, 0.01))).toEqual([{ startS: 0.99, endS: 1.0201 }]);
    expect(gapsOf(rows(0, 1, 0.01) + rows(5, 6, 0.01) + rows(9, 10, 0.01))).toEqual([
      { startS: 0.99, endS: 5 },
      { startS: 5.99, endS: 9 },
    ]);
  });

  it('is none where the rate changes or lines come in bursts', () => {
    expect(gapsOf(rows(0, 10, 0.001) + rows(10, 200, 0.1))).toEqual([]);
    expect(gapsOf(rows(0, 100, 0.1) + rows(100, 120, 0.001) + rows(120, 160, 0.1))).toEqual([]);
    expect(gapsOf(Array.from({ length: 900 }, (_, i) => `${(Math.floor(i / 4) * 0.016 + (i % 4) * 0.0001).toFixed(6)},1\n`).join(''))).toEqual([]);
  });

  it('is found wherever it lies among the blocks, and no block reaches over it', () => {
    for (const before of [1, 2, 100, BLOCK_ROWS - 129, BLOCK_ROWS - 128, BLOCK_ROWS - 127, BLOCK_ROWS - 1, BLOCK_ROWS, BLOCK_ROWS + 1, 2 * BLOCK_ROWS - 128]) {
      const { blocks, summary } = readCsv(bytes(`time_s,current_a\n${Array.from({ length: 20_000 }, (_, i) => `${i < before ? i : i + 1000},1\n`).join('')}`));
      expect(summary.gaps, `${before} rows before`).toEqual(before === 1 ? [{ startS: 0, endS: 1001 }] : [{ startS: before - 1, endS: before + 1000 }]);
      expect(blocks.filter((block) => block.timeS[0]! < before && block.timeS[block.timeS.length - 1]! >= before + 1000)).toEqual([]);
      expect(summary.samples).toBe(20_000);
    }
  });
});
