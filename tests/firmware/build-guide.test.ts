import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const folder = new URL('../../firmware-notes/', import.meta.url);
const guide = readFileSync(new URL('build-guide.md', folder), 'utf8');

/** The rows of the table whose head begins with these words, as cells. */
function table(head: string): string[][] {
  const lines = guide.split('\n');
  const at = lines.findIndex((line) => line.startsWith(`| ${head} |`));
  const rows = lines.slice(at + 2);
  return rows.slice(0, rows.findIndex((line) => !line.startsWith('|'))).map((line) => line.slice(1, -1).split('|').map((cell) => cell.trim()));
}

/** A printed figure stands for its last digit's half. */
function expectPrinted(cell: string, value: number): void {
  const halfDigit = 0.5 * 10 ** -(cell.split('.')[1]?.length ?? 0);
  expect(Math.abs(Number(cell) - value), `${cell} for ${value}`).toBeLessThanOrEqual(halfDigit * 1.0001);
}

describe('the figures of the build guide', () => {
  test('ranges of the Hall parts: one count of 10 bit at 5 V, and 450 counts to the clipping', () => {
    // 185/100/66 mV/A: Allegro ACS712 data sheet, p. 5
    const rows = table('part | mV/A');
    expect(rows.map((row) => row[1])).toEqual(['185', '100', '66']);
    for (const [, mvPerA, count, clip] of rows) {
      expectPrinted(count!, 5 / 1024 / (Number(mvPerA) / 1000));
      expectPrinted(clip!, (450 * 5) / 1024 / (Number(mvPerA) / 1000));
    }
  });

  test('ranges of the shunts: 2.5 uV a step and 81.92 mV at full scale (TI SBOS547)', () => {
    const rows = table('shunt, mΩ | one step, A');
    expect(rows.length).toBe(2);
    for (const [milliohm, step, full, loss, offset] of rows) {
      const ohm = Number(milliohm) / 1000;
      expectPrinted(step!, 2.5e-6 / ohm);
      expectPrinted(full!, 0.08192 / ohm);
      expectPrinted(loss!, 0.08192 ** 2 / ohm);
      expectPrinted(offset!, 10e-6 / ohm);
    }
  });

  test('filters: corner 1/(2 pi R C), and what a first-order low-pass leaves at half the rate', () => {
    const rows = table('where | R, kΩ');
    expect(rows.length).toBe(5);
    for (const [, kiloOhm, microFarad, rate, corner, left] of rows) {
      const cornerHz = 1 / (2 * Math.PI * Number(kiloOhm) * 1e3 * Number(microFarad) * 1e-6);
      expectPrinted(corner!, cornerHz);
      expectPrinted(left!, -10 * Math.log10(1 + (Number(rate) / 2 / cornerHz) ** 2));
    }
  });

  test('clamps: what is above 5.5 V drives its current through the series resistor', () => {
    const rows = table('input | series, kΩ');
    expect(rows.length).toBe(2);
    for (const [, kiloOhm, faultV, milliA] of rows) expectPrinted(milliA!, (Number(faultV) - 5.5) / Number(kiloOhm));
  });

  test('every page and drawing it points to is there, and every drawing has a title for those who cannot see it', () => {
    const targets = [...guide.matchAll(/\]\(([^)]+)\)/g)].map((match) => match[1]!);
    expect(targets.length).toBeGreaterThan(5);
    for (const target of targets) {
      expect([target, existsSync(new URL(target, folder))]).toEqual([target, true]);
      if (target.endsWith('.svg')) expect(readFileSync(new URL(target, folder), 'utf8')).toMatch(/^<svg [^>]*role="img"[^]*<title id="title">[^<]+<\/title>[^]*<\/svg>\n$/);
    }
  });
});
