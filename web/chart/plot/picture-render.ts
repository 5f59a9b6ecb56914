import { DASHES, INKS, strokeWidth, type Drawing } from '../../../src/core/picture/pieces.ts';
import { baselineOf } from '../../../src/core/picture/svg.ts';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.reading.pictureRender;

const FONT = 'system-ui, sans-serif';

/** The picture as a PNG, `scale` device pixels to each of its own. */
export async function toCanvas({ width, height, pieces }: Drawing, scale: number): Promise<Blob> {
  const canvas = document.createElement('canvas');
  canvas.width = width * scale;
  canvas.height = height * scale;
  const ctx = canvas.getContext('2d')!;
  ctx.scale(scale, scale);
  ctx.lineJoin = 'round';
  for (const piece of pieces) {
    if (piece.kind === 'box') {
      ctx.fillStyle = INKS[piece.ink];
      ctx.fillRect(piece.x, piece.y, piece.width, piece.height);
    } else if (piece.kind === 'text') {
      ctx.fillStyle = INKS.frame;
      ctx.font = `${piece.bold === true ? '600 ' : ''}${piece.size}px ${FONT}`;
      ctx.textAlign = piece.anchor === 'middle' ? 'center' : piece.anchor;
      ctx.fillText(piece.text, piece.x, baselineOf(piece));
    } else {
      ctx.strokeStyle = INKS[piece.ink];
      ctx.lineWidth = strokeWidth(piece.ink);
      ctx.setLineDash([...(DASHES[piece.ink] ?? [])]);
      ctx.beginPath();
      for (const run of piece.runs) {
        ctx.moveTo(run[0]!, run[1]!);
        for (let i = 2; i < run.length; i += 2) ctx.lineTo(run[i]!, run[i + 1]!);
      }
      ctx.stroke();
    }
  }
  return new Promise((resolve, reject) => canvas.toBlob((blob) => (blob === null ? reject(new Error(words.thePictureCouldNot)) : resolve(blob)), 'image/png'));
}
