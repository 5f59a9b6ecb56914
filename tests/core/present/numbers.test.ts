import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import fc from 'fast-check';
import { parseSync } from 'vite';
import { describe, expect, it } from 'vitest';
import { formatCount, formatCurrent, formatCurrentBounds, formatCurrentWithin, formatDuration, plain, significant } from '../../../src/core/present/language.ts';
import { numbersIn } from '../../../src/core/present/numbers.ts';

const ROOT = join(import.meta.dirname, '../../..');

describe('figures for people', () => {
  it.each([
    [4.271, '4.27 A'], [0.0351, '35.1 mA'], [0.00109, '1.1 mA'], [-12.34, '\u221212.3 A'], [0, '0 mA'], [0.9996, '1.00 A'], [130.4, '130 A'], [0.9995, '1.00 A'], [0.9994, '999 mA'], [0.00995, '9.95 mA'], [0.00994, '9.9 mA'], [-0.0351, '\u221235.1 mA'],
  ])('writes %s A as %s', (currentA, text) => {
    expect(formatCurrent(currentA)).toBe(text);
  });

  it('writes bounds in the same unit and with decimals that fit the uncertainty', () => {
    expect(formatCurrentBounds(4.2713, 4.21, 4.33)).toBe('4.27 A (4.21 to 4.33)');
    expect(formatCurrentBounds(0.0109, 0.0104, 0.0114)).toBe('10.9 mA (10.4 to 11.4)');
    // by the larger bound, whichever side of zero it lies on; widths of 10, 1, 0 and 0.0001
    expect(formatCurrentBounds(0.9, 0.8, 1)).toBe('0.90 A (0.80 to 1.00)');
    expect(formatCurrentBounds(-0.5, -1, 0)).toBe('\u22120.5 A (\u22121.0 to 0.0)');
    expect(formatCurrentBounds(0.9, 0.8, 0.9994)).toBe('900 mA (800 to 999)');
    expect(formatCurrentBounds(50, 45, 55)).toBe('50 A (45 to 55)');
    expect(formatCurrentBounds(2, 2, 2)).toBe('2.00 A (2.00 to 2.00)');
    expect(formatCurrentBounds(2, 1.99994, 2.00004)).toBe('2.0000 A (1.9999 to 2.0000)');
    expect(formatCurrentBounds(0, -0.00001, 0.001)).toBe('0.0 mA (0.0 to 1.0)');
  });

  it('has with its bounds no more digits than they carry, the bounds rounded outwards', () => {
    // half-widths of 84, 45, 0.24 and 0.02 (Particle Data Group: 84 and 45 keep one figure, 24 two)
    expect(formatCurrentWithin(0.4026, 0.335, 0.503)).toEqual({ figure: '400 mA', bounds: '330 to 510 mA' });
    expect(formatCurrentWithin(0.389, 0.344, 0.433)).toEqual({ figure: '390 mA', bounds: '340 to 440 mA' });
    expect(formatCurrentWithin(3.104, 2.86, 3.34)).toEqual({ figure: '3.10 A', bounds: '2.86 to 3.34 A' });
    expect(formatCurrentWithin(14.0123, 13.98, 14.02)).toEqual({ figure: '14.012 A', bounds: '13.980 to 14.020 A' });
    expect(formatCurrentWithin(12.5, 0, 30)).toEqual({ figure: '13 A', bounds: '0 to 30 A' });
    expect(formatCurrentWithin(-0.0004, -0.02, 0.02)).toEqual({ figure: '0 mA', bounds: '\u221220 to 20 mA' });
    expect(formatCurrentWithin(2, 2, 2)).toEqual({ figure: '2.00 A', bounds: '' });
  });

  it.each([
    [0.0384, '38 ms'], [2.44, '2.4 s'], [45, '45 s'], [200, '3 min 20 s'], [21_900, '6 h 05 min'], [183_600, '2 d 3 h'], [-3, '\u22123.0 s'], [600, '10 min'], [3599.7, '1 h 00 min'], [0.9994, '999 ms'], [0.9995, '1.0 s'], [9.94, '9.9 s'], [9.95, '10 s'], [99.4, '99 s'], [99.5, '1 min 40 s'], [3599.4, '59 min 59 s'], [172_769, '47 h 59 min'], [172_800, '2 d 0 h'], [65, '65 s'], [3660, '1 h 01 min'],
    // nothing has no sign
    [-0.0004, '0 ms'], [-0.0005, '\u22121 ms'],
  ])('writes %s s as %s', (durationS, text) => {
    expect(formatDuration(durationS)).toBe(text);
  });

  it.each([[0, 3, '0'], [12.345, 3, '12.3'], [-12.345, 3, '-12.3'], [9.996, 3, '10.0'], [1234, 2, '1200'], [0.001234, 2, '0.0012'], [5, 1, '5']])('writes %d with %d figures as %s', (value, figures, text) => {
    expect(significant(value, figures)).toBe(text);
  });

  it('rounds to significant figures without an exponent', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), fc.integer({ min: 1, max: 6 }), (value, figures) => {
        const text = significant(value, figures);
        expect(text).not.toMatch(/e/);
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5001 * 10 ** (Math.floor(Math.log10(value)) + 1 - figures) * 1.0001);
      }),
    );
  });

  it('keeps every digit of a number that is given as it is, without noise of its binary form', () => {
    expect([12.5, 0.1 + 0.2, 9600, -3, 0, 1e-7, 40.123456].map(plain)).toEqual(['12.5', '0.3', '9600', '-3', '0', '0.0000001', '40.123456']);
    expect(formatCount(1_234_567)).toBe('1,234,567');
  });

  // Unicode CLDR, German (Germany): decimal mark a comma, thousands set apart by a full stop
  it('has the decimal mark and the thousands of its language, and the same digits', () => {
    const german = numbersIn('de-DE', (low, high) => `${low} bis ${high}`);
    expect([german.formatCurrent(4.271), german.formatCurrent(0.0351), german.formatCurrent(1234)]).toEqual(['4,27 A', '35,1 mA', '1230 A']);
    expect(german.formatCurrentBounds(4.2713, 4.21, 4.33)).toBe('4,27 A (4,21 bis 4,33)');
    expect([german.formatDuration(2.44), german.decimal(-0.001, 2), german.plain(12.5), german.formatCount(1_234_567)]).toEqual(['2,4 s', '0,00', '12,5', '1.234.567']);
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.integer({ min: 0, max: 6 }), (value, decimals) => {
        const text = german.decimal(value, decimals);
        expect(text.replace(',', '.')).toBe(value.toFixed(decimals).replace(/^-(?=[0.]+$)/, ''));
      }),
    );
  });
});

/** They write for programs: points as decimal marks in every language. */
const FOR_PROGRAMS = new Set(['src/cli/overlay-file.ts', 'src/core/present/numbers.ts', 'src/core/tracefile/csv/csv.ts']);

interface Node {
  readonly type: string;
  readonly [key: string]: unknown;
}

/** Numbers that a file makes into text by itself; what goes back into a number is none. */
function ownFigures(path: string, text: string): string[] {
  if (!/\bto(Fixed|Precision|Exponential|LocaleString)\b/.test(text)) return [];
  const found: string[] = [];
  const visit = (node: unknown, parent: Node | null): void => {
    if (Array.isArray(node)) for (const one of node) visit(one, parent);
    else if (typeof node === 'object' && node !== null) {
      const here = node as Node;
      const callee = here['callee'] as { property?: { name?: string } } | undefined;
      const name = here.type === 'CallExpression' ? callee?.property?.name : undefined;
      const back = parent?.type === 'CallExpression' && (parent['callee'] as { name?: string }).name === 'Number';
      if (name !== undefined && /^to(Fixed|Precision|Exponential|LocaleString)$/.test(name) && !back) found.push(`${path}: ${name}`);
      for (const value of Object.values(here)) visit(value, here.type === undefined ? parent : here);
    }
  };
  visit(parseSync(path, text, { lang: 'tsx' }).program, null);
  return found;
}

describe('a figure that people read', () => {
  it('is written by its language, in one place', () => {
    const files = ['src', 'web'].flatMap((folder) => readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })).filter(({ name }) => /\.tsx?$/.test(name)).map((entry) => relative(ROOT, join(entry.parentPath, entry.name)));
    expect(files.length).toBeGreaterThan(500);
    expect(files.filter((path) => !FOR_PROGRAMS.has(path)).flatMap((path) => ownFigures(path, readFileSync(join(ROOT, path), 'utf8')))).toEqual([]);
  });

  it('is found wherever a file writes one', () => {
    expect(ownFigures('x.tsx', 'const a = <p>{(b * 2).toFixed(1)} A</p>; const c = `${d.toPrecision(3)}`; const e = f?.g!.toLocaleString();')).toEqual(['x.tsx: toFixed', 'x.tsx: toPrecision', 'x.tsx: toLocaleString']);
    expect(ownFigures('x.tsx', 'const a = Number(b.toFixed(2)); const c = decimal(b, 2);')).toEqual([]);
  });
});
