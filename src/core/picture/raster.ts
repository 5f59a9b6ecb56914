import { INKS, type Drawing, type Ink, type PictureElement } from './pieces.ts';
import { glyphRows, GLYPH_HEIGHT, GLYPH_STEP } from './glyphs.ts';

/** Pixels as indices into a palette: what a PNG of drawings is smallest as. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  /** row by row */
  readonly pixels: Uint8Array;
  /** red, green, blue of each index */
  readonly palette: Uint8Array;
}

const ORDER = Object.keys(INKS) as Ink[];
/** Each dot of a glyph is 2 × 2 px. */
const GLYPH_SCALE = 2;
/** Voltage is dashed, so that it is told apart without colour: so many columns drawn, so many left open. */
const DASH = 6;

/** Draws lines of one pixel without smoothing: each column of the plot is covered as all samples would cover it (Jugel et al., M4, VLDB 2014). */
export function rasterOf({ width, height, pieces }: Drawing): Raster {
  const raster: Raster = { width, height, pixels: new Uint8Array(width * height), palette: Uint8Array.from(ORDER.flatMap((ink) => [1, 3, 5].map((at) => Number.parseInt(INKS[ink].slice(at, at + 2), 16)))) };
  for (const piece of pieces) draw(raster, piece);
  return raster;
}

function draw(raster: Raster, piece: PictureElement): void {
  switch (piece.kind) {
    case 'box':
      for (let y = Math.floor(piece.y); y < piece.y + piece.height; y++) for (let x = Math.floor(piece.x); x < piece.x + piece.width; x++) set(raster, x, y, piece.ink);
      return;
    case 'text':
      // the dots have axis letters only: the title is in the file's own words
      return piece.bold === true && piece.text.length > 2 ? undefined : write(raster, piece.text, piece.x, piece.y, piece.anchor);
    case 'line':
      for (const run of piece.runs) {
        if (run.length === 2) set(raster, Math.floor(run[0]), Math.floor(run[1]), piece.ink);
        for (let i = 2; i < run.length; i += 2) eachPixel(Math.floor(run[i - 2]), Math.floor(run[i - 1]), Math.floor(run[i]), Math.floor(run[i + 1]), (x, y) => set(raster, x, y, piece.ink));
      }
  }
}

function set({ width, height, pixels }: Raster, x: number, y: number, ink: Ink): void {
  if (x < 0 || y < 0 || x >= width || y >= height || (ink === 'voltage' && x % (2 * DASH) >= DASH)) return;
  pixels[y * width + x] = ORDER.indexOf(ink);
}

/** Every pixel of a line without anti-aliasing, from one end to the other. Bresenham 1965 */
export function eachPixel(x0: number, y0: number, x1: number, y1: number, visit: (x: number, y: number) => void): void {
  const dx = Math.abs(x1 - x0);
  const dy = -Math.abs(y1 - y0);
  const sx = x0 < x1 ? 1 : -1;
  const sy = y0 < y1 ? 1 : -1;
  let error = dx + dy;
  for (;;) {
    visit(x0, y0);
    if (x0 === x1 && y0 === y1) return;
    const twice = 2 * error;
    if (twice >= dy) {
      error += dy;
      x0 += sx;
    }
    if (twice <= dx) {
      error += dx;
      y0 += sy;
    }
  }
}

function write(raster: Raster, text: string, x: number, y: number, anchor: 'start' | 'middle' | 'end'): void {
  const width = text.length * GLYPH_STEP * GLYPH_SCALE;
  let left = Math.round(anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2);
  const top = Math.round(y - (GLYPH_HEIGHT * GLYPH_SCALE) / 2);
  for (const letter of text) {
    glyphRows(letter).forEach((row, rowAt) => {
      for (let column = 0; column < GLYPH_STEP; column++) {
        if ((row & (0x10 >> column)) === 0) continue;
        for (let dot = 0; dot < GLYPH_SCALE * GLYPH_SCALE; dot++) set(raster, left + column * GLYPH_SCALE + (dot % GLYPH_SCALE), top + rowAt * GLYPH_SCALE + Math.floor(dot / GLYPH_SCALE), 'frame');
      }
    });
    left += GLYPH_STEP * GLYPH_SCALE;
  }
}
