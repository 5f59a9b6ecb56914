import type { Anchor, Point, Sheet } from './sheet.ts';

/**
 * Parts as IEC 60617 draws them. Two-terminal parts begin at a point and end 60 further in their direction; the name and value stand
 * beside them, above a part that lies, to the right of an upright one.
 */
type Direction = 'right' | 'down';
type Side = 'right' | 'left' | 'above' | 'below';
const LENGTH = 60;

function end([x, y]: Point, direction: Direction): Point {
  return direction === 'right' ? [x + LENGTH, y] : [x, y + LENGTH];
}

/** Turns a path drawn along x from 0 to 60 into the direction wanted. */
function place(sheet: Sheet, at: Point, direction: Direction, inner: string, half: number, lead: number): void {
  const [x, y] = at;
  const far = end(at, direction);
  const near: Point = direction === 'right' ? [x + lead, y] : [x, y + lead];
  const next: Point = direction === 'right' ? [x + LENGTH - lead, y] : [x, y + LENGTH - lead];
  sheet.wire(at, near);
  sheet.wire(next, far);
  sheet.raw(`<g transform="translate(${x} ${y})${direction === 'down' ? ' rotate(90)' : ''}">${inner}</g>`);
  if (direction === 'right') sheet.body(x + lead, y - half, LENGTH - 2 * lead, 2 * half);
  else sheet.body(x - half, y + lead, 2 * half, LENGTH - 2 * lead);
}

function label(sheet: Sheet, [x, y]: Point, direction: Direction, half: number, lines: readonly string[], side?: Side): void {
  const where = side ?? (direction === 'right' ? 'above' : 'right');
  const middle = LENGTH / 2;
  const put = (at: Point, anchor: Anchor, firstUp: number): void => lines.forEach((line, i) => sheet.text([at[0], at[1] + firstUp + i * 17], line, { anchor }));
  if (where === 'above') put([x + middle, y - half - 8], 'middle', -17 * (lines.length - 1));
  else if (where === 'below') put([x + middle, y + half + 18], 'middle', 0);
  else if (where === 'right') put([x + half + 8, y + middle + 5], 'start', -8.5 * (lines.length - 1));
  else put([x - half - 8, y + middle + 5], 'end', -8.5 * (lines.length - 1));
}

function twoTerminal(inner: string, half: number, lead: number) {
  return (sheet: Sheet, at: Point, direction: Direction, lines: readonly string[], side?: Side): Point => {
    place(sheet, at, direction, inner, half, lead);
    label(sheet, at, direction, half, lines, side);
    return end(at, direction);
  };
}

export const resistor = twoTerminal('<rect x="10" y="-8" width="40" height="16" fill="#fff"/>', 8, 10);
export const fuse = twoTerminal('<rect x="10" y="-8" width="40" height="16" fill="#fff"/><path d="M0 0L60 0"/>', 8, 10);
export const capacitor = twoTerminal('<path d="M26 -14L26 14M34 -14L34 14"/>', 14, 26);
/** Diodes that are used against their arrow: cathode at the beginning. */
const BACK = '<path d="M40 -10L40 10L22 0Z" fill="#fff"/>';
export const diodeBack = twoTerminal(`${BACK}<path d="M22 -10L22 10"/>`, 10, 20);
export const schottkyBack = twoTerminal(`${BACK}<path d="M27 -6L27 -10L22 -10L22 10L17 10L17 6"/>`, 10, 20);
export const zenerBack = twoTerminal(`${BACK}<path d="M27 -10L22 -10L22 10"/>`, 10, 20);
export const contact = twoTerminal('<path d="M10 0L46 -14"/><circle cx="10" cy="0" r="3.5" fill="#fff"/><circle cx="50" cy="0" r="3.5" fill="#fff"/>', 12, 10);

/** The logger's own ground, a reference and no earth: a triangle. */
export function ground(sheet: Sheet, [x, y]: Point): void {
  sheet.raw(`<path d="M${x - 11} ${y}L${x + 11} ${y}L${x} ${y + 14}Z" fill="#fff"/>`);
  sheet.body(x - 11, y, 22, 14);
}

/** Earth: three bars. */
export function earth(sheet: Sheet, [x, y]: Point): void {
  sheet.path(`M${x - 14} ${y}L${x + 14} ${y}M${x - 9} ${y + 6}L${x + 9} ${y + 6}M${x - 4} ${y + 12}L${x + 4} ${y + 12}`);
  sheet.body(x - 14, y, 28, 13);
}

/** Vehicle body: a bar with strokes. */
export function chassis(sheet: Sheet, [x, y]: Point): void {
  sheet.path(`M${x - 16} ${y}L${x + 16} ${y}M${x - 12} ${y}L${x - 18} ${y + 12}M${x} ${y}L${x - 6} ${y + 12}M${x + 12} ${y}L${x + 6} ${y + 12}`);
  sheet.body(x - 18, y, 34, 12);
}

/** A supply: a bar with its name on the far side of it. */
export function rail(sheet: Sheet, [x, y]: Point, name: string): void {
  sheet.path(`M${x - 12} ${y}L${x + 12} ${y}`);
  sheet.text([x, y - 7], name, { anchor: 'middle' });
}

/** Two places with the same name are joined. */
export function net(sheet: Sheet, [x, y]: Point, name: string, side: 'left' | 'right'): void {
  const sign = side === 'right' ? 1 : -1;
  sheet.path(`M${x} ${y}L${x + sign * 8} ${y - 6}M${x} ${y}L${x + sign * 8} ${y + 6}`);
  sheet.text([x + sign * 14, y + 5], name, { anchor: side === 'right' ? 'start' : 'end' });
}

export function battery(sheet: Sheet, [x, y]: Point): void {
  sheet.path(`M${x - 20} ${y + 16}L${x + 20} ${y + 16}M${x - 10} ${y + 25}L${x + 10} ${y + 25}M${x - 20} ${y + 34}L${x + 20} ${y + 34}M${x - 10} ${y + 43}L${x + 10} ${y + 43}`);
  sheet.wire([x, y], [x, y + 16]);
  sheet.wire([x, y + 43], [x, y + LENGTH]);
  sheet.body(x - 20, y + 16, 40, 28);
  sheet.text([x - 28, y + 18], '+', { anchor: 'end', size: 16 });
}

export function motor(sheet: Sheet, [x, y]: Point): void {
  sheet.raw(`<circle cx="${x}" cy="${y + 30}" r="24" fill="#fff"/>`);
  sheet.body(x - 24, y + 6, 48, 48);
  sheet.wire([x, y], [x, y + 6]);
  sheet.wire([x, y + 54], [x, y + LENGTH]);
  sheet.text([x, y + 36], 'M', { anchor: 'middle', size: 18, bold: true });
}

/** N-channel transistor, enhancement: lying, source left, drain right, gate above the middle. */
export function transistorLying(sheet: Sheet, [x, y]: Point): { source: Point; drain: Point; gate: Point } {
  sheet.path(`M${x + 12} ${y - 24}L${x + 48} ${y - 24}`);
  sheet.path(`M${x + 10} ${y - 18}L${x + 20} ${y - 18}M${x + 25} ${y - 18}L${x + 35} ${y - 18}M${x + 40} ${y - 18}L${x + 50} ${y - 18}`);
  sheet.path(`M${x} ${y}L${x + 15} ${y}L${x + 15} ${y - 18}M${x + 60} ${y}L${x + 45} ${y}L${x + 45} ${y - 18}M${x + 30} ${y - 18}L${x + 30} ${y}L${x + 15} ${y}`);
  sheet.path(`M${x + 30} ${y - 17}L${x + 26} ${y - 8}L${x + 34} ${y - 8}Z`, ' fill="#1b2733"');
  sheet.body(x, y - 24, 60, 25);
  return { source: [x, y], drain: [x + LENGTH, y], gate: [x + 30, y - 24] };
}

/** The same standing: drain above, source below, gate at the right. */
export function transistorStanding(sheet: Sheet, [x, y]: Point): { drain: Point; source: Point; gate: Point } {
  sheet.path(`M${x + 24} ${y + 12}L${x + 24} ${y + 48}`);
  sheet.path(`M${x + 18} ${y + 10}L${x + 18} ${y + 20}M${x + 18} ${y + 25}L${x + 18} ${y + 35}M${x + 18} ${y + 40}L${x + 18} ${y + 50}`);
  sheet.path(`M${x} ${y}L${x} ${y + 15}L${x + 18} ${y + 15}M${x} ${y + 60}L${x} ${y + 45}L${x + 18} ${y + 45}M${x + 18} ${y + 30}L${x} ${y + 30}L${x} ${y + 45}`);
  sheet.path(`M${x + 17} ${y + 30}L${x + 8} ${y + 26}L${x + 8} ${y + 34}Z`, ' fill="#1b2733"');
  sheet.body(x, y, 25, 60);
  return { drain: [x, y], source: [x, y + LENGTH], gate: [x + 24, y + 30] };
}

/** Amplifier as a rectangle with the sign of amplification, inputs at the left, output at the right. */
export function amplifier(sheet: Sheet, [x, y]: Point, name: string): { plus: Point; minus: Point; out: Point } {
  sheet.raw(`<rect x="${x}" y="${y}" width="90" height="120" fill="#eef3f6"/>`);
  sheet.body(x, y, 90, 120);
  sheet.path(`M${x + 34} ${y + 14}L${x + 46} ${y + 20}L${x + 34} ${y + 26}Z`);
  sheet.text([x + 52, y + 25], '∞');
  sheet.text([x + 8, y + 35], '+', { size: 16 });
  sheet.text([x + 8, y + 95], '−', { size: 16 });
  sheet.text([x + 80, y + 65], '+', { anchor: 'end', size: 16 });
  sheet.text([x + 45, y + 112], name, { anchor: 'middle' });
  return { plus: [x, y + 30], minus: [x, y + 90], out: [x + 90, y + 60] };
}

/** The direction in which current counts as plus. */
export function currentArrow(sheet: Sheet, [x, y]: Point, direction: 'left' | 'right', words: string): void {
  const sign = direction === 'right' ? 1 : -1;
  sheet.path(`M${x} ${y}L${x + sign * 40} ${y}M${x + sign * 30} ${y - 5}L${x + sign * 41} ${y}L${x + sign * 30} ${y + 5}`);
  sheet.text([x + sign * 20, y - 9], words, { anchor: 'middle' });
}
