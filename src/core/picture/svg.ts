import { html, type Markup } from '../report/markup.ts';
import { INKS, type Drawing, type Piece } from './drawing.ts';

/** A drawing as one SVG file that needs nothing beside it: sharp at any size, its words still words. */
export function svgOf({ width, height, title, pieces }: Drawing): string {
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="img" font-family="sans-serif" font-size="18">
<title>${title}</title>
${pieces.map(pieceOf)}<text x="${width / 2}" y="24" text-anchor="middle" font-weight="bold">${title}</text>
</svg>
`.text;
}

function pieceOf(piece: Piece): Markup {
  switch (piece.kind) {
    case 'box':
      return html`<rect x="${round(piece.x)}" y="${round(piece.y)}" width="${round(piece.width)}" height="${round(piece.height)}" fill="${INKS[piece.ink]}"/>\n`;
    case 'text':
      return html`<text x="${round(piece.x)}" y="${round(piece.y + 6)}" text-anchor="${piece.anchor}">${piece.text}</text>\n`;
    case 'line':
      // told apart by line style too, not by colour alone
      return html`<path d="${piece.runs.map(pathOf).join('')}" fill="none" stroke="${INKS[piece.ink]}" stroke-width="${piece.ink === 'grid' ? 1 : 1.5}"${piece.ink === 'voltage' ? html` stroke-dasharray="7 4"` : null}/>\n`;
  }
}

function pathOf(run: Float64Array): string {
  let path = '';
  for (let i = 0; i < run.length; i += 2) path += `${i === 0 ? 'M' : 'L'}${round(run[i])} ${round(run[i + 1])}`;
  return path;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
