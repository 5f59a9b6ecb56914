import type { Picture } from './picture.ts';

const FONT = 'system-ui, sans-serif';
const INK = '#14201c';

/** The picture as a stand-alone SVG file: no script, no outside reference. */
export function toSvg({ widthPx, heightPx, title, pieces }: Picture): string {
  const out = [`<svg xmlns="http://www.w3.org/2000/svg" width="${widthPx}" height="${heightPx}" viewBox="0 0 ${widthPx} ${heightPx}" font-family="${FONT}"><title>${escape(title)}</title>`];
  for (const piece of pieces) {
    if (piece.kind === 'box') out.push(`<rect x="${n(piece.x)}" y="${n(piece.y)}" width="${n(piece.width)}" height="${n(piece.height)}" fill="${piece.colour}"/>`);
    else if (piece.kind === 'text') {
      out.push(`<text x="${n(piece.x)}" y="${n(piece.y)}" font-size="${piece.size}" text-anchor="${piece.anchor}" fill="${INK}"${piece.bold ? ' font-weight="600"' : ''}>${escape(piece.text)}</text>`);
    } else {
      const path = piece.runs.map((run) => run.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${n(x)} ${n(y)}`).join('')).join('');
      out.push(`<path d="${path}" fill="none" stroke="${piece.colour}" stroke-width="${piece.width}" stroke-linejoin="round"${piece.dash.length > 0 ? ` stroke-dasharray="${piece.dash.join(' ')}"` : ''}/>`);
    }
  }
  out.push('</svg>');
  return out.join('\n');
}

/** The picture as a PNG, `scale` device pixels to each of its own. */
export async function toCanvas({ widthPx, heightPx, pieces }: Picture, scale: number): Promise<Blob> {
  const canvas = document.createElement('canvas');
  canvas.width = widthPx * scale;
  canvas.height = heightPx * scale;
  const ctx = canvas.getContext('2d')!;
  ctx.scale(scale, scale);
  ctx.lineJoin = 'round';
  for (const piece of pieces) {
    if (piece.kind === 'box') {
      ctx.fillStyle = piece.colour;
      ctx.fillRect(piece.x, piece.y, piece.width, piece.height);
    } else if (piece.kind === 'text') {
      ctx.fillStyle = INK;
      ctx.font = `${piece.bold ? '600 ' : ''}${piece.size}px ${FONT}`;
      ctx.textAlign = piece.anchor === 'middle' ? 'center' : piece.anchor;
      ctx.fillText(piece.text, piece.x, piece.y);
    } else {
      ctx.strokeStyle = piece.colour;
      ctx.lineWidth = piece.width;
      ctx.setLineDash([...piece.dash]);
      ctx.beginPath();
      for (const run of piece.runs) run.forEach(([x, y], i) => (i === 0 ? ctx.moveTo(x, y) : ctx.lineTo(x, y)));
      ctx.stroke();
    }
  }
  return new Promise((resolve, reject) => canvas.toBlob((blob) => (blob === null ? reject(new Error('the picture could not be made')) : resolve(blob)), 'image/png'));
}

function n(value: number): string {
  return String(Math.round(value * 100) / 100);
}

function escape(text: string): string {
  return text.replace(/[&<>"']/g, (letter) => `&#${letter.charCodeAt(0)};`);
}
