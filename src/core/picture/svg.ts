import { html, type Markup } from '../markup.ts';
import { dashedAcross, isDense } from './dashes.ts';
import { DASHES, INKS, strokeWidth, type Drawing, type PictureElement } from './pieces.ts';

/** A drawing as one SVG file that needs nothing beside it: sharp at any size, its words still words. */
export function svgOf({ width, height, title, pieces }: Drawing): string {
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="img" font-family="system-ui, sans-serif">
<title>${title}</title>
${pieces.map(pieceOf)}</svg>
`.text;
}

/** A drawing inside a page, as wide as what it is in. */
export function inlineSvg({ width, height, title, pieces }: Drawing): Markup {
  return html`<svg class="picture" viewBox="0 0 ${width} ${height}" role="img" aria-label="${title}">${pieces.map(pieceOf)}</svg>`;
}

function pieceOf(piece: PictureElement): Markup {
  switch (piece.kind) {
    case 'box':
      return html`<rect x="${round(piece.x)}" y="${round(piece.y)}" width="${round(piece.width)}" height="${round(piece.height)}" fill="${INKS[piece.ink]}">${piece.hint === undefined ? null : html`<title>${piece.hint}</title>`}</rect>\n`;
    case 'text':
      return html`<text x="${round(piece.x)}" y="${round(baselineOf(piece))}" font-size="${piece.size}" text-anchor="${piece.anchor}" fill="${INKS.frame}"${piece.bold === true ? html` font-weight="600"` : null}>${piece.text}</text>\n`;
    case 'line': {
      // told apart by line style too, not by colour alone
      const dash = DASHES[piece.ink];
      const path = (runs: readonly Float64Array[], style: Markup | null): Markup | null => (runs.length === 0 ? null : html`<path d="${pathOf(runs)}" fill="none" stroke="${INKS[piece.ink]}" stroke-width="${strokeWidth(piece.ink)}"${style}/>\n`);
      if (dash === undefined) return html`${path(piece.runs, null)}`;
      const dense = piece.runs.filter(isDense).flatMap((run) => dashedAcross(run, dash));
      return html`${path(piece.runs.filter((run) => !isDense(run)), html` stroke-dasharray="${dash.join(' ')}"`)}${path(dense, null)}`;
    }
  }
}

/** Letters hang this far below the middle of a line, in sizes of the font: about a third for every common face. */
const BASELINE = 0.35;

export function baselineOf({ y, size }: Extract<PictureElement, { kind: 'text' }>): number {
  return y + BASELINE * size;
}

export function pathOf(runs: readonly Float64Array[]): string {
  let path = '';
  for (const run of runs) for (let i = 0; i < run.length; i += 2) path += `${i === 0 ? 'M' : 'L'}${round(run[i])} ${round(run[i + 1])}`;
  return path;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
