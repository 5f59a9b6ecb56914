/**
 * A drawing sheet: lines, words and the places they take, so that a test can see what crosses what. Coordinates in pixels, y downwards;
 * parts lie on a grid of 10.
 */
export type Point = readonly [x: number, y: number];
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}
interface Word extends Box {
  readonly text: string;
}
/** A sheet, and what it shows for those who cannot see it. */
export interface Drawing {
  readonly sheet: Sheet;
  readonly description: string;
}
export type Anchor = 'start' | 'middle' | 'end';

const FONT = 'system-ui, sans-serif';
const INK = '#1b2733';
const MUTED = '#4a5a6a';
const SIZE = 14;
/** Mean width of a letter over its height, a little above what the usual sans-serif fonts need. */
const LETTER = 0.56;

export class Sheet {
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly wires: (readonly [Point, Point])[] = [];
  readonly words: Word[] = [];
  /** bodies of parts */
  readonly bodies: Box[] = [];
  readonly #svg: string[] = [];

  constructor(width: number, height: number, title: string) {
    this.width = width;
    this.height = height;
    this.title = title;
    this.text([24, 36], title, { size: 19, bold: true });
  }

  raw(svg: string): void {
    this.#svg.push(svg);
  }

  body(x: number, y: number, width: number, height: number): void {
    this.bodies.push({ x, y, width, height });
  }

  wire(...points: readonly Point[]): void {
    points.slice(1).forEach((point, i) => this.wires.push([points[i]!, point]));
    this.path(`M${points.map((point) => point.join(' ')).join('L')}`);
  }

  dashed(...points: readonly Point[]): void {
    points.slice(1).forEach((point, i) => this.wires.push([points[i]!, point]));
    this.raw(`<path d="M${points.map((point) => point.join(' ')).join('L')}" stroke-dasharray="8 5"/>`);
  }

  path(d: string, extra = ''): void {
    this.raw(`<path d="${d}"${extra}/>`);
  }

  dot([x, y]: Point): void {
    this.raw(`<circle cx="${x}" cy="${y}" r="4" fill="${INK}"/>`);
  }

  /** A terminal that a clip or a lead goes to. */
  terminal([x, y]: Point): void {
    this.raw(`<circle cx="${x}" cy="${y}" r="5" fill="#fff"/>`);
  }

  text([x, y]: Point, text: string, options: { anchor?: Anchor; size?: number; bold?: boolean; muted?: boolean } = {}): void {
    const { anchor = 'start', size = SIZE, bold = false, muted = false } = options;
    const width = [...text].length * size * LETTER * (bold ? 1.08 : 1);
    const left = anchor === 'start' ? x : anchor === 'middle' ? x - width / 2 : x - width;
    this.words.push({ text, x: left, y: y - size * 0.78, width, height: size });
    const safe = text.replaceAll('&', '&amp;').replaceAll('<', '&lt;');
    this.raw(`<text x="${x}" y="${y}" text-anchor="${anchor}" font-size="${size}"${bold ? ' font-weight="700"' : ''} fill="${muted ? MUTED : INK}" stroke="none">${safe}</text>`);
  }

  /** A box with a name, words under it, and pins named beside their wires. */
  box(x: number, y: number, width: number, height: number, lines: readonly string[], dashed = false): void {
    this.body(x, y, width, height);
    this.raw(`<rect x="${x}" y="${y}" width="${width}" height="${height}" rx="3" fill="${dashed ? '#faf3e3' : '#eef3f6'}"${dashed ? ' stroke-dasharray="7 4"' : ''}/>`);
    lines.forEach((line, i) => this.text([x + width / 2, y + 22 + i * 19], line, { anchor: 'middle', bold: i === 0 }));
  }

  svg(description: string): string {
    return [
      `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${this.width} ${this.height}" role="img" aria-labelledby="title desc" font-family="${FONT}">`,
      `<title id="title">${this.title}</title>`,
      `<desc id="desc">${description}</desc>`,
      `<rect width="${this.width}" height="${this.height}" fill="#fff"/>`,
      `<g fill="none" stroke="${INK}" stroke-width="2" stroke-linejoin="round">`,
      ...this.#svg,
      '</g>',
      '</svg>',
      '',
    ].join('\n');
  }
}
