import { describe, expect, it } from 'vitest';
import { columnsOf, forThePage, previewCsv, rateOf } from '../../web/traces/csv-preview.ts';

describe('a CSV file before it is read', () => {
  it('shows its columns and takes its own names at their word', () => {
    const preview = previewCsv('# from elsewhere\r\ntime_s,current_a,voltage_v\r\n0,1,12\r\n0.01,2,12\r\n0.02,3,12\r\ncut,')!;
    expect(preview.names).toEqual(['time_s', 'current_a', 'voltage_v']);
    expect(preview.rows).toEqual([['0', '1', '12'], ['0.01', '2', '12'], ['0.02', '3', '12']]);
    expect(rateOf(preview, preview.choices)).toBeCloseTo(100, 6);
    expect(columnsOf(preview.choices)).toBe('time=1:s,current=2:A,voltage=3:V');
  });

  it('guesses nothing of other names, and reads decimal commas', () => {
    const preview = previewCsv('Zeit;Kanal 1\n0,0;100,5\n1,0;200,5\n')!;
    expect(preview.choices).toEqual(['skip', 'skip']);
    expect(columnsOf(preview.choices)).toBe(null);
    expect(rateOf(preview, ['time:ms', 'current:mA'])).toBeCloseTo(1000, 6);
    expect(columnsOf(['time:ms', 'current:mA'])).toBe('time=1:ms,current=2:mA');
    expect(columnsOf(['current:A', 'current:mA'])).toBe(null);
  });

  it('says of errors only what a person at the page can do', () => {
    expect(forThePage('There is no time column. The header has: a, b. Name it, for example --columns time=NAME:ms, or give the rate with --rate (samples a second).')).toBe('There is no time column. The header has: a, b. Name it.');
    expect(previewCsv('')).toBe(null);
  });
});
