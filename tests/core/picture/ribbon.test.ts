import { describe, expect, it } from 'vitest';
import { drawTrace } from '../../../src/core/picture/drawing.ts';
import { layoutRibbon } from '../../../src/core/picture/ribbon-layout.ts';
import { laneCount, ribbonHeight, ribbonPieces } from '../../../src/core/picture/ribbon-pieces.ts';
import type { Segment } from '../../../src/core/present/wording/ribbon.ts';
import type { Mark } from '../../../src/core/trace.ts';

const segment = (startS: number, endS: number, more: Partial<Segment> = {}): Segment => ({ startS, endS, kind: 'run', word: 'run', detail: '5 A', lane: 0, ...more });

describe('a ribbon on its strip', () => {
  /** 1000 px from 10 s to 20 s, counted as a pixel a second so that nothing is rounded */
  const px = (atS: number): number => Math.round((atS - 10) * 1e8) / 1e6;
  const placed = (...segments: Segment[]) => layoutRibbon(segments.map((one) => ({ ...one, startS: px(one.startS), endS: px(one.endS) })), { fromS: 0, toS: 1000 }, 1000, 0, 10).map(({ leftPx, widthPx, count, worded }) => [leftPx, widthPx, count, worded]);

  it('shows what touches the view, at its first and last moment too', () => {
    expect(placed(segment(8, 10), segment(20, 22))).toEqual([[0, 2, 1, false], [1000, 2, 1, false]]);
    expect(placed(segment(8, 9.99), segment(20.01, 22))).toEqual([]);
  });

  it('has the word where it fits beside its margins of four pixels, a moment\'s flag up to the next piece', () => {
    // three letters of 10 px and 8 px of margin: 38
    expect(placed(segment(10, 10.38))).toEqual([[0, 38, 1, true]]);
    expect(placed(segment(10, 10.375))).toEqual([[0, 37.5, 1, false]]);
    // a flag takes 14 px: with its word 44
    const note = (atS: number): Segment => segment(atS, atS, { kind: 'note' });
    expect(placed(note(10), segment(10.44, 12))).toEqual([[0, 14, 1, true], [44, 156, 1, true]]);
    expect(placed(note(10), segment(10.435, 12))).toEqual([[0, 14, 1, false], [43.5, 156.5, 1, true]]);
    expect(placed(note(19.56))).toEqual([[956, 14, 1, true]]);
    expect(placed(note(19.565))).toEqual([[956.5, 14, 1, false]]);
  });

  it('joins neighbours of a kind where one is too thin to be seen alone', () => {
    // 5 px is wide enough; 2 px between two are a space
    expect(placed(segment(10, 10.0625), segment(10.0625, 10.125))).toEqual([[0, 6.25, 1, false], [6.25, 6.25, 1, false]]);
    expect(placed(segment(10, 10.03125), segment(10.03125, 10.125))).toEqual([[0, 12.5, 2, false]]);
    expect(placed(segment(10, 10.125), segment(10.125, 10.15625))).toEqual([[0, 15.625, 2, false]]);
    expect(placed(segment(10, 10.03125), segment(10.0625, 10.125)).map(([, , count]) => count)).toEqual([1, 1]);
    expect(placed(segment(10, 10.03125), segment(10.03125, 10.125, { kind: 'stall' })).map(([, , count]) => count)).toEqual([1, 1]);
    // one inside another does not make it shorter
    expect(placed(segment(10, 10.5), segment(10.1, 10.125))).toEqual([[0, 50, 2, false]]);
    const note = (atS: number): Segment => segment(atS, atS, { kind: 'note' });
    // a flag of 14 px, and beside it three letters for how many they are
    expect(placed(note(10), note(10.1))).toEqual([[0, 44, 2, true]]);
    expect(placed(note(10), note(10.16)).map(([, , count]) => count)).toEqual([1, 1]);
  });

  it('leaves room for the number of those joined', () => {
    // three letters more: 60 px and the margins
    expect(placed(segment(10, 10.66), segment(10.66, 10.68))).toEqual([[0, 68, 2, true]]);
    expect(placed(segment(10, 10.655), segment(10.655, 10.675))).toEqual([[0, 67.5, 2, false]]);
  });
});

describe('the ribbon under a plot', () => {
  const place = { x: 100, y: 200, width: 1000, laneHeight: 20, fontSize: 12 };

  it('has a lane for each that holds something, the analysis first, 3 px apart', () => {
    expect([laneCount([]), laneCount([segment(0, 1)]), laneCount([segment(0, 1, { lane: 2 })]), laneCount([segment(0, 1, { lane: 1 }), segment(0, 1, { lane: 2 })])]).toEqual([0, 1, 2, 3]);
    expect([ribbonHeight(0, 20), ribbonHeight(2, 20)]).toEqual([0, 46]);
    const pieces = ribbonPieces([segment(1, 2), segment(1, 2, { lane: 2, kind: 'stretch', word: 'mine' })], 0, 10, place);
    expect(pieces.map(({ kind }) => kind)).toEqual(['box', 'text', 'box', 'text']);
    expect(pieces[0]).toEqual({ kind: 'box', ink: 'run', x: 200, y: 200, width: 99, height: 20, hint: 'run: 5 A' });
    expect(pieces[1]).toMatchObject({ x: 204, y: 210, text: 'run', anchor: 'start', size: 12 });
    expect(pieces[2]).toMatchObject({ y: 223, ink: 'stretch' });
  });

  it('says of joined pieces how many they are, and keeps the thinnest in sight', () => {
    const pieces = ribbonPieces([segment(1, 1.001), segment(1.001, 1.002), segment(5, 5.001)], 0, 10, place);
    expect(pieces).toHaveLength(2);
    expect(pieces[0]).toMatchObject({ hint: 'run, 2 of them: 5 A' });
    expect(pieces[1]).toMatchObject({ x: 600, width: 1.5, hint: 'run: 5 A' });
  });

  it('has the word where its letters, 0.55 of their size each, fit', () => {
    // 3 x 6.6 + 8 = 27.8 px
    const words = (widthS: number): number => ribbonPieces([segment(1, 1 + widthS)], 0, 10, place).length;
    expect([words(0.279), words(0.277)]).toEqual([2, 1]);
  });
});

describe('the picture of a trace', () => {
  const window = { timeS: Float64Array.of(0, 50, 99), currentA: Float32Array.of(0, 5, 10), voltageV: null };
  const flags = (...marks: Mark[]): number[][] => drawTrace({ title: 't', startS: 0, endS: 100, window, gaps: [], marks }).pieces.flatMap((piece) => (piece.kind === 'line' && piece.ink === 'mark' ? piece.runs.map((run) => [...run]) : []));

  it('has a flag below the plot for each mark in it, a line for a stretch', () => {
    // the plot begins at 96 px and is 1440 columns wide, its foot at 560: 14.4 px a second
    expect(flags({ timeS: 50, kind: 'note', label: '' })).toEqual([[816, 560, 816, 572]]);
    expect(flags({ timeS: 25, endS: 75, kind: 'stretch', label: '' })).toEqual([[456, 572, 1176, 572]]);
    // of a window from 50 s on, the middle is the same place
    const late = drawTrace({ title: 't', startS: 50, endS: 150, window, gaps: [], marks: [{ timeS: 100, kind: 'note', label: '' }] });
    expect(late.pieces.flatMap((piece) => (piece.kind === 'line' && piece.ink === 'mark' ? [piece.runs[0]![0]] : []))).toEqual([816]);
    expect(flags({ timeS: -50, endS: 150, kind: 'stretch', label: '' })).toEqual([[96, 572, 1536, 572]]);
    expect(flags({ timeS: 0, kind: 'note', label: '' }, { timeS: 100, kind: 'note', label: '' })).toHaveLength(2);
    expect(flags({ timeS: -1, kind: 'note', label: '' }, { timeS: 101, kind: 'note', label: '' }, { timeS: -9, endS: -1, kind: 'stretch', label: '' })).toEqual([]);
  });

  it('draws the volts on their own axis where there are any', () => {
    const inks = (voltageV: Float32Array | null): string[] => drawTrace({ title: 't', startS: 0, endS: 100, window: { ...window, voltageV }, gaps: [], marks: [] }).pieces.flatMap((piece) => (piece.kind === 'line' && (piece.ink === 'voltage' || piece.ink === 'current') ? [piece.ink] : []));
    expect(inks(null)).toEqual(['current']);
    expect(inks(Float32Array.of(12, 12, 12))).toEqual(['voltage', 'current']);
    const { width, height, pieces } = drawTrace({ title: 't', startS: 0, endS: 100, window, gaps: [], marks: [] });
    expect(pieces[0]).toMatchObject({ kind: 'box', ink: 'paper', x: 0, y: 0, width, height });
    expect(pieces.at(-1)).toMatchObject({ text: 't', x: width / 2, anchor: 'middle' });
  });
});
