import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { DRAWINGS } from '../../firmware-notes/circuit/drawings.ts';
import type { Box, Point } from '../../firmware-notes/circuit/sheet.ts';

/** Words may come this close to a line, px. */
const CLEARANCE = 1;

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/** All wires run along x or y, so a wire is a thin box. */
function wireBox([from, to]: readonly [Point, Point]): Box {
  return {
    x: Math.min(from[0], to[0]) - CLEARANCE,
    y: Math.min(from[1], to[1]) - CLEARANCE,
    width: Math.abs(from[0] - to[0]) + 2 * CLEARANCE,
    height: Math.abs(from[1] - to[1]) + 2 * CLEARANCE,
  };
}

const inside = (box: Box, outer: Box): boolean => box.x >= outer.x && box.y >= outer.y && box.x + box.width <= outer.x + outer.width && box.y + box.height <= outer.y + outer.height;

describe.each(Object.entries(DRAWINGS))('%s', (file, draw) => {
  const { sheet, description } = draw();

  test('is what the script draws from the values', () => {
    expect(readFileSync(new URL(`../../firmware-notes/${file}`, import.meta.url), 'utf8')).toBe(sheet.svg(description));
  });

  test('has no wire through a word', () => {
    const crossed = sheet.words.flatMap((word) => sheet.wires.filter((wire) => overlap(word, wireBox(wire))).map((wire) => `${word.text}: ${JSON.stringify(wire)}`));
    expect(crossed).toEqual([]);
  });

  test('has no word over another word, over the edge of a part, or beyond the sheet', () => {
    const over: string[] = [];
    for (const [i, word] of sheet.words.entries()) {
      for (const other of sheet.words.slice(i + 1)) if (overlap(word, other)) over.push(`${word.text} / ${other.text}`);
      for (const body of sheet.bodies) if (overlap(word, body) && !inside(word, body)) over.push(`${word.text} / part at ${body.x},${body.y}`);
      if (!inside(word, { x: 0, y: 0, width: sheet.width, height: sheet.height })) over.push(`${word.text} / sheet`);
    }
    expect(over).toEqual([]);
  });

  test('has no part over another part, and no wire through a part that it does not end at', () => {
    const over: string[] = [];
    for (const [i, body] of sheet.bodies.entries()) {
      for (const other of sheet.bodies.slice(i + 1)) if (overlap(body, other) && !inside(body, other) && !inside(other, body)) over.push(`${JSON.stringify(body)} ${JSON.stringify(other)}`);
      const core = { x: body.x + 2, y: body.y + 2, width: body.width - 4, height: body.height - 4 };
      for (const wire of sheet.wires) if (overlap(core, wireBox(wire))) over.push(`${JSON.stringify(body)} ${JSON.stringify(wire)}`);
    }
    expect(over).toEqual([]);
  });

  test('lies on a light ground, with a title and a description for those who cannot see it', () => {
    const svg = sheet.svg(description);
    expect(svg).toContain('fill="#fff"/>');
    expect(svg).toMatch(/^<svg [^>]*role="img"[^]*<title id="title">[^<]+<\/title>\n<desc id="desc">[^<]{60,}<\/desc>[^]*<\/svg>\n$/);
  });
});
