import { describe, expect, it } from 'vitest';
import { parseSpec } from '../../src/daemon/sources/spec.ts';
import { COLUMN_CHOICES, fieldsOf, oddKind, serialSpec, usesOf, withBaud, withColumns, type ColumnChoice, type ColumnUse, type LineField } from '../../web/test/line-columns.ts';

const plain = (...choices: readonly ColumnChoice[]): ColumnUse[] => choices.map((choice) => ({ choice, scale: null }));

const texts = (...all: readonly string[]): LineField[] => all.map((text) => ({ text }));

describe('columns chosen for a logger whose lines are not understood', () => {
  it('come from the line with most fields', () => {
    expect(fieldsOf(['boot', 'T=21, 1.5,12.4 ,x', '1']).map(({ text }) => text)).toEqual(['T=21', '1.5', '12.4', 'x']);
  });

  it('call for another speed, for other lines with or without numbers, or for their columns', () => {
    const kind = (line: string): string => oddKind([line, line], fieldsOf([line]));
    expect(['\u00e9\u00d5\u00cb\u00b8\u00ac\u0004', 'Reading 2: 0.52 Amps', 'Strom 2,4 fällt', 'A0: 513 mV 12.6V ok', '1;2;3;4', 'sensor1 v2.1 ready', 'U: twelve', '1,2,3,4', 'T=21C I=2A', '0.52 A 12.6 V'].map(kind)).toEqual(['noise', 'mixed', 'mixed', 'mixed', 'mixed', 'words', 'words', 'columns', 'columns', 'columns']);
  });

  it('find numbers without names by the units behind them', () => {
    const fields = fieldsOf(['0.52 A 12.6 V ok']);
    expect(fields.map(({ text }) => text)).toEqual(['0.52 A', '12.6 V']);
    expect(withColumns('serial:COM5', usesOf('serial:COM5', fields), fields)).toBe('serial:COM5?columns=current=A:A,voltage=V:V');
    // a meter that has switched its range before anybody chose
    const small = fieldsOf(['980mA,12.6V']);
    expect(withColumns('serial:COM5', usesOf('serial:COM5', small), small)).toBe('serial:COM5?columns=current=A:mA,voltage=V:V');
  });

  it('make a source that the daemon reads as meant, and keep the speed', () => {
    const spec = withColumns('serial:/dev/ttyACM0?baud=9600&columns=current', plain('skip', 'time:ms', 'current:mA', 'voltage:V'))!;
    const parsed = parseSpec(spec);
    expect(parsed).toMatchObject({ kind: 'serial', path: '/dev/ttyACM0', baud: 9600 });
    expect(parsed.kind === 'serial' ? parsed.columns!.map(({ role, factor }) => [role, factor]) : []).toEqual([['skip', 1], ['time', 1e-3], ['current', 1e-3], ['voltage', 1]]);
  });

  it('every choice is one that the daemon knows', () => {
    for (const choice of COLUMN_CHOICES) {
      if (!choice.startsWith('current')) expect(() => parseSpec(withColumns('serial:COM5', plain(choice, 'current:A'))!)).not.toThrow();
    }
  });

  it('are refused without exactly one current, or where there is no port', () => {
    expect(withColumns('serial:COM5', plain('time:s', 'voltage:V'))).toBe(null);
    expect(withColumns('serial:COM5', plain('current:A', 'current:mA'))).toBe(null);
    expect(withColumns('sim:side-step-jam', plain('current:A'))).toBe(null);
  });

  it('carry what one printed number stands for: a clamp of 100 mV for 1 A whose volts are printed', () => {
    const spec = withColumns('serial:COM5', [{ choice: 'current:A', scale: 10 }, { choice: 'voltage:mV', scale: 2 }])!;
    const parsed = parseSpec(spec);
    expect(parsed.kind === 'serial' ? parsed.columns!.map(({ factor }) => factor) : []).toEqual([10, 2e-3]);
    expect(usesOf(spec, texts('1', '2'))).toEqual([{ choice: 'current:A', scale: 10 }, { choice: 'voltage:V', scale: 2e-3 }]);
    for (const wrong of ['0', 'x', '1e12', '']) expect(() => parseSpec(`serial:COM5?columns=current:A*${wrong}`)).toThrow('not a scale');
  });

  it('begin with how the lines are read now, given or usual, of a port that was found by itself, too', () => {
    expect(usesOf('serial:COM5', texts('1', '2', '3'))).toEqual(plain('time:s', 'current:A', 'voltage:V'));
    expect(usesOf('serial:COM5?columns=voltage=3:mV,current=1:mA', texts('1', '2', '3'))).toEqual(plain('current:mA', 'skip', 'voltage:mV'));
    expect(serialSpec({ spec: 'auto', port: '/dev/ttyUSB0' })).toBe('serial:/dev/ttyUSB0');
    expect(serialSpec({ spec: 'sim:x' })).toBe(null);
    expect(withBaud('serial:COM5?baud=9600&columns=current:A', 57_600)).toBe('serial:COM5?columns=current:A&baud=57600');
    expect(withBaud('serial:COM5?baud=9600', null)).toBe('serial:COM5');
  });

  it('find numbers by the names before them, their use by the units behind them, and make of both a source that the daemon reads', () => {
    const fields = fieldsOf(['T=21C I=513mA U=12.6V P=6.5W']);
    expect(fields.map(({ text }) => text)).toEqual(['T=21C', 'I=513mA', 'U=12.6V', 'P=6.5W']);
    const uses = usesOf('serial:COM5', fields);
    expect(uses).toEqual(plain('skip', 'current:mA', 'voltage:V', 'skip'));
    const spec = withColumns('serial:COM5?baud=9600', uses, fields)!;
    const parsed = parseSpec(spec);
    expect(parsed.kind === 'serial' ? parsed.columns : []).toEqual([{ role: 'current', name: 'I', factor: 1e-3, unit: 1e-3 }, { role: 'voltage', name: 'U', factor: 1, unit: 1 }]);
    expect(usesOf(spec, fields)).toEqual(uses);
    expect(withColumns('serial:COM5', usesOf('serial:COM5', fieldsOf(['a=1 b=2'])), fieldsOf(['a=1 b=2']))).toBe(null);
  });
});
