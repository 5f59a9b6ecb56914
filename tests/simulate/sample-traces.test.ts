import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseColumns } from '../../src/core/decode/columns.ts';
import { joinBlocks, type Trace } from '../../src/core/trace.ts';
import { readCsv } from '../core/tracefile/read-csv.ts';
import { readMarksCsv } from '../../src/core/tracefile/marks.ts';
import { findScenario } from '../../src/simulate/scenarios.ts';
import { SAMPLE_TRACES, sampleFiles, simulateSample } from './sample-traces.ts';

const FOLDER = join(import.meta.dirname, '../../sample-traces');
const SPREADSHEET_COLUMNS = 'time=Zeit:ms,current=Strom:mA,voltage=Spannung';

function readTrace(name: string, columnsText: string | null): Trace {
  const answer = columnsText === null ? null : parseColumns(columnsText);
  if (answer !== null && !answer.ok) throw new Error(answer.text);
  const { blocks, summary } = readCsv(readFileSync(join(FOLDER, `${name}.csv`)), { columns: answer === null ? null : answer.columns });
  expect(summary.refusal).toBeNull();
  expect(summary.gaps).toEqual([]);
  return joinBlocks(blocks, []);
}

function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let largest = 0;
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i] - b[i]));
  return largest;
}

describe('the sample traces', () => {
  test.each(SAMPLE_TRACES.map((sample) => [sample.name, sample] as const))('%s is what its scenario and seed give', (_name, sample) => {
    const read = readTrace(sample.name, sample.form === 'own' ? null : SPREADSHEET_COLUMNS);
    const { trace, truth, marks } = simulateSample(sample);
    const spreadsheet = sample.form === 'spreadsheet';
    expect(read.timeS.length).toBe(trace.timeS.length);
    expect(largestDifference(read.timeS, trace.timeS)).toBeLessThan(1e-9);
    // the spreadsheet has whole milliamps and hundredths of a volt
    expect(largestDifference(read.currentA, trace.currentA)).toBeLessThanOrEqual(spreadsheet ? 0.00051 : 0);
    if (trace.voltageV === null) expect(read.voltageV).toBeNull();
    else expect(largestDifference(read.voltageV ?? [], trace.voltageV)).toBeLessThanOrEqual(spreadsheet ? 0.00501 : 0);
    expect(JSON.parse(readFileSync(join(FOLDER, `${sample.name}.labels.json`), 'utf8'))).toEqual(truth);
    if (marks.length === 0) return;
    const said = readMarksCsv(readFileSync(join(FOLDER, `${sample.name}.marks.csv`), 'utf8'));
    expect(said.problems).toEqual([]);
    expect(said.marks.map(({ kind, label }) => ({ kind, label }))).toEqual(marks.map(({ kind, label }) => ({ kind, label })));
    expect(largestDifference(said.marks.map((mark) => mark.timeS), marks.map((mark) => mark.timeS))).toBeLessThan(0.0051);
  });

  test('the spreadsheet file has the marks of an office program, byte for byte', () => {
    const bytes = readFileSync(join(FOLDER, 'spreadsheet-side-step-jam.csv'));
    expect([...bytes.subarray(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
    const lines = bytes.toString('utf8').slice(1).split('\r\n');
    expect(lines.pop()).toBe('');
    expect(lines.filter((line) => line.includes('\n'))).toEqual([]);
    expect(lines[0]).toBe('"Zeit";"Strom";"Spannung"');
    expect(lines.slice(1).filter((line) => !/^"\d+,\d";"-?\d+";"-?\d+,\d\d"$/.test(line))).toEqual([]);
  });

  test('every file in the folder is made by the recipe or named in PROVENANCE.md, and all are small', () => {
    const made = new Set(SAMPLE_TRACES.flatMap((sample) => [...sampleFiles(sample).keys()]));
    const there = readdirSync(FOLDER);
    expect(there.filter((name) => !made.has(name) && !['PROVENANCE.md', '.gitattributes'].includes(name))).toEqual([]);
    expect([...made].filter((name) => !there.includes(name))).toEqual([]);
    const sizes = there.map((name) => statSync(join(FOLDER, name)).size);
    expect(Math.max(...sizes)).toBeLessThan(300_000);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(2e6);
  });

  test('PROVENANCE.md names scenario, seed and length of each as it was made', () => {
    const text = readFileSync(join(FOLDER, 'PROVENANCE.md'), 'utf8');
    for (const sample of SAMPLE_TRACES) {
      expect(text).toContain(`| ${sample.name}.csv | ${sample.scenario} | ${sample.seed} | ${sample.durationS} s at `);
      expect(findScenario(sample.scenario)).toBeDefined();
    }
  });
});
