import { describe, expect, it } from 'vitest';
import { makeMark, markLine, MAX_MARKS, readMarkLines, readMarksCsv } from '../../../src/core/tracefile/marks.ts';

describe('marks', () => {
  it('survive being written a line each, whatever the label', () => {
    const marks = [
      { timeS: 1.5, kind: 'pull', label: 'F12' },
      { timeS: 2, kind: 'note', label: 'said "humm"\n, then stopped' },
      { timeS: 3, kind: 'refit', label: 'F12' },
    ] as const;
    expect(readMarkLines(marks.map(markLine).join(''))).toEqual({ marks, problems: [] });
  });

  it('half written by a crash, or not marks at all, are left out and reported', () => {
    const { marks, problems } = readMarkLines('{"time_s":1,"kind":"pull","label":"F1"}\n{"time_s":"x"}\nnull\n[]\n{"time_s":2,"kind":"dance","label":""}\n \n7\n{"time_s":3,"ki');
    expect(marks).toEqual([{ timeS: 1, kind: 'pull', label: 'F1' }]);
    expect(problems.map((problem) => problem.text)).toEqual([
      'Mark in line 2 is left out: its time_s is not a number of seconds.',
      'Mark in line 3 is left out: it is not an object.',
      'Mark in line 4 is left out: its time_s is not a number of seconds.',
      'Mark in line 5 is left out: its kind is none of note, pull, refit, switch, wake, stretch.',
      'Mark in line 7 is left out: it is not an object.',
      'Mark in line 8 is left out: it is not JSON.',
    ]);
  });

  it('as CSV are pulled fuses unless a kind is given, in order of time', () => {
    expect(readMarksCsv('time_s,label\n60,F3\n20,"F1, left"\n').marks).toEqual([
      { timeS: 20, kind: 'pull', label: 'F1, left' },
      { timeS: 60, kind: 'pull', label: 'F3' },
    ]);
    expect(readMarksCsv('\uFEFF# fuses\r\ntime_s;label;kind\r\n"20,5";F1;refit\r\n30;F2;\r\n').marks).toEqual([
      { timeS: 20.5, kind: 'refit', label: 'F1' },
      { timeS: 30, kind: 'pull', label: 'F2' },
    ]);
    // the columns in any order, blank lines and comments before them
    expect(readMarksCsv(' \n# fuses\nend_s,kind,label,time_s\n9,stretch,F1,7\n').marks).toEqual([{ timeS: 7, kind: 'stretch', label: 'F1', endS: 9 }]);
    expect(readMarksCsv('kind,label,time_s\nrefit,F1,7\n').marks).toEqual([{ timeS: 7, kind: 'refit', label: 'F1' }]);
    expect(readMarksCsv('label,time_s\nF1,7\n').marks).toEqual([{ timeS: 7, kind: 'pull', label: 'F1' }]);
    // a comma that parts cells is no decimal mark as well
    expect(readMarksCsv('time_s,label\n"20,5",F1\n').marks).toEqual([]);
  });

  it('that are stretches keep their end, as lines and as CSV, and are none without a later one', () => {
    const dip = { timeS: 1.5, kind: 'stretch', label: 'dip', endS: 2.25 } as const;
    expect(readMarkLines(markLine(dip)).marks).toEqual([dip]);
    expect(readMarksCsv('time_s;label;kind;end_s\n"1,5";dip;stretch;"2,25"\n3;F1;;\n').marks).toEqual([dip, { timeS: 3, kind: 'pull', label: 'F1' }]);
    for (const endS of [1.5, 1, undefined, 'x', Number.NaN]) expect(makeMark(1.5, 'stretch', 'dip', endS)).toMatch(/end_s/);
    // an end beside a moment means nothing
    expect(makeMark(1, 'note', '', 5)).toEqual({ timeS: 1, kind: 'note', label: '' });
  });

  it('as CSV without the right header or with a bad row are reported', () => {
    expect(readMarksCsv('a,b\n1,2\n').problems[0]!.text).toMatch(/time_s,label/);
    for (const file of ['', '# fuses\n', 'time_s,name\n1,F1\n', 'at,label\n1,F1\n']) expect(readMarksCsv(file), file).toMatchObject({ marks: [], problems: [{ text: expect.stringContaining('time_s,label') }] });
    // ten are listed
    expect(readMarksCsv(`time_s,label\n${'x,F1\n'.repeat(10)}`).problems).toHaveLength(10);
    expect(readMarksCsv(`time_s,label\n${'x,F1\n'.repeat(11)}`).problems).toHaveLength(10);
    expect(readMarksCsv('time_s,label\n,F1\nx,F2\n5,F3\n')).toMatchObject({ marks: [{ timeS: 5 }], problems: [{ text: expect.stringContaining('line 2') }, { text: expect.stringContaining('line 3') }] });
  });

  it('in absurd numbers are cut off', () => {
    const { marks, problems } = readMarkLines(markLine({ timeS: 1, kind: 'note', label: '' }).repeat(MAX_MARKS + 5));
    expect(marks).toHaveLength(MAX_MARKS);
    expect(problems[0]!.text).toMatch(/Only the first/);
  });

  it('from outside are checked, their labels shortened', () => {
    expect(makeMark(1, 'note', 'x'.repeat(1000))).toMatchObject({ label: 'x'.repeat(200) });
    expect(makeMark(Number.POSITIVE_INFINITY, 'note', '')).toMatch(/time_s/);
    expect(makeMark(1, 'note', 5)).toMatch(/label/);
    expect(makeMark('1', 'note', '')).toMatch(/time_s/);
    expect(makeMark(1, 'note', ' F1\n')).toEqual({ timeS: 1, kind: 'note', label: 'F1' });
  });
});
