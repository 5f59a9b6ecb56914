import type { SegmentKind } from '../present/wording/ribbon.ts';

/** A place on the paper, px. */
export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A picture as strokes and words, from which SVG, PNG and the page's own drawings are made alike. Coordinates in px from the upper left. */
export type PictureElement =
  /** `runs`: x, y, x, y … of each unbroken stretch */
  | { readonly kind: 'line'; readonly ink: Ink; readonly runs: readonly Float64Array[] }
  /** y: middle of the letters */
  | { readonly kind: 'text'; readonly x: number; readonly y: number; readonly text: string; readonly anchor: Anchor; readonly size: number; readonly bold?: boolean }
  /** `hint`: what a pointer at rest is shown */
  | { readonly kind: 'box'; readonly ink: Ink; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly hint?: string };

type Anchor = 'start' | 'middle' | 'end';

export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly pieces: readonly PictureElement[];
}

/** On white paper. Current, voltage, limits and before/after in colours of Okabe and Ito (2008); words and line style say the same. */
export const INKS = {
  paper: '#ffffff', grid: '#d5dbd8', zero: '#9aa8a1', frame: '#14201c', current: '#0072b2', voltage: '#00805d', gap: '#e9e9e9', mark: '#8c4a70', limit: '#b04a00',
  before: '#d55e00', after: '#0072b2', difference: '#14201c', usual: '#777777',
  inrush: '#f5d9a8', run: '#cfe6f5', stall: '#f3c2a4', dropout: '#ffffff', flag: '#f3c2a4', awake: '#f7eec0', asleep: '#c9e8dd', 'wake-up': '#f5d9a8',
  pulled: '#ecd3e2', note: '#ffffff', recorded: '#ffffff', stretch: '#dfe6e2',
} as const satisfies Readonly<Record<string, string>> & Readonly<Record<SegmentKind, string>>;

export type Ink = keyof typeof INKS;

/** px drawn, px left open …; an ink that is not here is solid */
export const DASHES: Readonly<Partial<Record<Ink, readonly number[]>>> = { voltage: [7, 4], limit: [2, 4], before: [7, 4], usual: [4, 3] };

export function strokeWidth(ink: Ink): number {
  return ink === 'grid' || ink === 'zero' || ink === 'frame' ? 1 : 1.5;
}

export function stroke(ink: Ink, fromX: number, fromY: number, toX: number, toY: number): PictureElement {
  return { kind: 'line', ink, runs: [Float64Array.of(fromX, fromY, toX, toY)] };
}
