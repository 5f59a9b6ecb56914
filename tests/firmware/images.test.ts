import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { readHexImage } from './support/hex-image.ts';

const source = fileURLToPath(new URL('../../firmware-notes/reference-logger/', import.meta.url));
const read = (name: string): string => readFileSync(join(source, name), 'utf8');
const recorded = new Map(read('images/SHA256SUMS').trim().split('\n').map((line) => [line.slice(66), line.slice(0, 64)] as const));
const images = ['images/logger-adc.hex', 'images/logger-monitor.hex'];

/** The compiler that made the committed images, if it is installed here. Another version may lay the same program out differently. */
function sameCompilerHere(): boolean {
  const answer = spawnSync('avr-gcc', ['-dumpversion'], { encoding: 'utf8' });
  return answer.error === undefined && answer.stdout.trim() === read('images/COMPILER').trim() && spawnSync('make', ['--version']).error === undefined;
}

describe('the committed images', () => {
  test('were made from the committed sources: every sum noted at the build still holds', () => {
    const present = [...readdirSync(source).filter((name) => /\.[ch]$|^Makefile$/.test(name)), ...images].sort();
    expect([...recorded.keys()].sort()).toEqual(present);
    for (const [name, sum] of recorded) expect([name, createHash('sha256').update(read(name)).digest('hex')]).toEqual([name, sum]);
  });

  test('come out byte for byte the same when they are built again, wherever their compiler is installed', () => {
    const built = new Map(images.map((name) => [name, read(name)]));
    if (sameCompilerHere()) {
      const copy = mkdtempSync(join(tmpdir(), 'reference-logger-'));
      try {
        cpSync(source, copy, { recursive: true, filter: (path) => !/\/(build|images)$/.test(path) });
        const made = spawnSync('make', [], { cwd: copy, encoding: 'utf8' });
        expect(made.stderr).toBe('');
        for (const name of images) built.set(name, readFileSync(join(copy, name), 'utf8'));
      } finally {
        rmSync(copy, { recursive: true, force: true });
      }
    }
    // Without the compiler this still says that the images are those the build noted.
    for (const [name, text] of built) expect([name, createHash('sha256').update(text).digest('hex')]).toEqual([name, recorded.get(name)]);
  });

  test.each(images)('%s fits under a 2 kB boot loader', (name) => {
    const program = readHexImage(read(name), 0x8000);
    expect(program[0]).not.toBe(0xffff);
    expect(program.subarray(0x7800 / 2).every((word) => word === 0xffff)).toBe(true);
  });

  test('are flashed as they are: flashing depends on no build, so no compiler is called whatever the dates of the files are', () => {
    const rules = read('Makefile');
    for (const target of ['flash', 'flash-isp', 'fuses']) {
      const [, prerequisites, recipe] = new RegExp(`^${target}:(.*)\\n((?:\\t.*\\n)+)`, 'm').exec(rules)!;
      expect([target, prerequisites]).toEqual([target, '']);
      expect(recipe).toMatch(/^\tavrdude /);
      expect(recipe).not.toMatch(/CC|gcc|OBJCOPY|MAKE/);
    }
    expect(rules).toMatch(/^flash:\n\tavrdude .*-b \$\(or \$\(BAUD\),115200\) -U flash:w:images\/logger-\$\(IMAGE\)\.hex:i$/m);
  });

  test('a flipped digit in an image is refused, not flashed', () => {
    const text = read(images[0]!);
    expect(() => readHexImage(text.replace('0C94', '0C95'), 0x8000)).toThrow(/line 1 .*damaged/);
    expect(() => readHexImage(text.slice(0, text.lastIndexOf(':')), 0x8000)).toThrow(/no end record/);
  });
});
