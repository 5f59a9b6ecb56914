import { describe, expect, it } from 'vitest';
import { parseColumns } from '../../../src/core/decode/columns.ts';
import { namedNumbers, roleOfUnit } from '../../../src/core/decode/named-line.ts';
import { lineLayout, parseNumbers } from '../../../src/core/decode/number-line.ts';
import { openDecoder } from './kit.ts';

const pairs = (line: string): string | null => namedNumbers(line)?.map(({ name, value, unit }) => `${name}|${value}|${unit}`).join(' ') ?? null;

function read(columns: string, line: string): number[] | null {
  const answer = parseColumns(columns);
  const layout = answer.ok ? lineLayout(answer.columns) : answer.text;
  if (typeof layout === 'string') throw new Error(layout);
  return parseNumbers(line, 64, layout);
}

describe('lines whose numbers have their names before them', () => {
  it.each([
    ['I=2.4A U=12V', 'I|2.4|A U|12|V'],
    ['I=2.4 U=12', 'I|2.4| U|12|'],
    ['I: 2.40 mA, U: 12.1 V', 'I|2.4|mA U|12.1|V'],
    ['I=-.5A;U=12.V', 'I|-0.5|A U|12|V'],
    ['[info] I=2.4A ok U=12V', 'I|2.4|A U|12|V'],
    ['I=1e-3A|temp=21C', 'I|0.001|A temp|21|C'],
  ])('"%s" is taken apart', (line, expected) => {
    expect(pairs(line)).toBe(expected);
  });

  it.each([
    ['0.52 A 12.6 V', 'A|0.52|A V|12.6|V'],
    ['-520mA,12.6V ok', 'A|-520|mA V|12.6|V'],
    ['Strom 0.52 Amps, Spannung 12.6 V (21 C)', null],
    ['Strom 0.52 Amps, Spannung 12.6 V, 21 C', 'Amps|0.52|Amps V|12.6|V C|21|C'],
    ['0.52 A 0.61 A', null], ['0,52 A 12,6 V', null], ['3 0.52 A', null],
  ])('"%s" has units in place of names, or is refused', (line, expected) => {
    expect(pairs(line)).toBe(expected);
  });

  it.each(['I=2,4A', 'I=2.4A 12V', 'I=2.4A I=2.5A', 'I=2.4.1A', '12:30:05 I=2.4A', 'I=', 'I==2', 'ok', '', '1.25,12.6', 'A0: 513 mV 12.6V ok', 'I=0x10', 'I=2A U=12V5', 'I=nan U=12'])('"%s" is refused whole', (line) => {
    expect(namedNumbers(line)).toBeNull();
  });

  it('are read by name wherever it comes, in the unit that is printed', () => {
    const columns = 'current=I:A,voltage=U:V';
    expect(read(columns, 'I=2.4A U=12V')).toEqual([2.4, 12]);
    expect(read(columns, 'U=12V I=2.4A')).toEqual([2.4, 12]);
    // a meter that changes its range prints another unit: 980 mA are 0.98 A, whatever was chosen
    expect(read(columns, 'I=980mA U=12V')![0]).toBeCloseTo(0.98, 12);
    expect(read('current=I:mA', 'I=2.4A')![0]).toBeCloseTo(2400, 9);
    expect(read(columns, 'I=2.4 U=12')).toEqual([2.4, 12]);
    // volts are no amperes, and a line without one of them is no reading
    for (const line of ['I=2.4V U=12V', 'I=2.4A', 'U=12V', '2.4,12', 'i=2.4A U=12V']) expect(read(columns, line), line).toBeNull();
  });

  it('without names are read by their units, whichever is printed; by a word that is no unit as it was chosen', () => {
    expect(read('current=A:A,voltage=V:V', '0.52 A 12.6 V')).toEqual([0.52, 12.6]);
    expect(read('current=A:A,voltage=V:V', '12.6 V, -980 mA')).toEqual([-0.98, 12.6]);
    expect(read('current=A:A,voltage=V:V', '12.6 V')).toBeNull();
    expect(read('current=Amps:mA', '520 Amps')).toEqual([520]);
    expect(read('current=Amps:mA', '520 W')).toBeNull();
  });

  it('come out of a stream as currents and volts, and nothing else is taken for one of them', () => {
    const { decoder, all } = openDecoder('current=I:mA,voltage=U');
    for (let n = 0; n < 400; n += 1) decoder.line(n % 2 === 0 ? 'I=513mA U=12.5V' : 'U=12.5V I=0.513A', 0.01 * n);
    const { malformed } = decoder.damage;
    // two plain numbers have no names: which is which nobody knows
    for (let n = 400; n < 420; n += 1) decoder.line('12.5,0.513', 0.01 * n);
    decoder.end();
    expect(decoder.damage.malformed - malformed).toBe(20);
    expect(all.currentA.length).toBeGreaterThan(300);
    for (const currentA of all.currentA) expect(currentA).toBeCloseTo(0.513, 6);
    expect(new Set(all.voltageV)).toEqual(new Set([12.5]));
  });

  it('tell by their unit what they are', () => {
    expect(['A', 'mA', 'V', 'mV', 'ms', 'C', 'W', ''].map(roleOfUnit)).toEqual(['current', 'current', 'voltage', 'voltage', 'time', null, null, null]);
  });
});
