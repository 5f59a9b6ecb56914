import { describe, expect, it } from 'vitest';
import type { PictureElement } from '../../../src/core/picture/pieces.ts';
import { plotPieces, spanOf, type PlotInput } from '../../../src/core/picture/plot.ts';

/** 200 px for 10 s, 100 px for 10 A: 20 px a second from 100 on, 10 px an ampere up from 150. */
const area = { x: 100, y: 50, width: 200, height: 100 };
const plot = (more: Partial<PlotInput>): PictureElement[] => plotPieces({ area, startS: 10, endS: 20, current: { low: 0, high: 10 }, lines: [], ticks: { time: 5, current: 5 }, fontSize: 10, ...more });
const runsOf = (pieces: readonly PictureElement[], ink: string): number[][] => pieces.flatMap((piece) => (piece.kind === 'line' && piece.ink === ink ? piece.runs.map((run) => [...run]) : []));
const textsOf = (pieces: readonly PictureElement[]) => pieces.flatMap((piece) => (piece.kind === 'text' ? [piece] : []));
const wordsOf = (pieces: readonly PictureElement[]): string[] => textsOf(pieces).map(({ text }) => text);

describe('a line on its axes', () => {
  it('goes through its readings, and is cut off at the top of its axis', () => {
    const line = { ink: 'current', timeS: [10, 15, 20], values: [0, 5, 12] } as const;
    expect(runsOf(plot({ lines: [line] }), 'current')).toEqual([[100, 150, 200, 100, 300, 50]]);
  });

  it('of volts has its own axis where there is one', () => {
    const line = { ink: 'voltage', axis: 'voltage', timeS: [10, 20], values: [10, 12.5] } as const;
    expect(runsOf(plot({ lines: [line], voltage: { low: 10, high: 15 } }), 'voltage')).toEqual([[100, 150, 300, 100]]);
    expect(runsOf(plot({ lines: [line], voltage: null }), 'voltage')).toEqual([[100, 50, 300, 50]]);
    // the current stays on its own beside it
    expect(runsOf(plot({ lines: [{ ink: 'current', timeS: [10, 20], values: [0, 5] }], voltage: { low: 10, high: 15 } }), 'current')).toEqual([[100, 150, 300, 100]]);
  });

  it('is broken where a gap ends between two readings or at the later one, and nowhere else', () => {
    const times = (gaps: readonly { startS: number; endS: number }[]): number[][] => runsOf(plot({ lines: [{ ink: 'current', timeS: [11, 12, 13, 14], values: [0, 0, 0, 0], gaps }] }), 'current').map((run) => run.filter((_, i) => i % 2 === 0).map((x) => (x - 100) / 20 + 10));
    expect(times([])).toEqual([[11, 12, 13, 14]]);
    expect(times([{ startS: 12.2, endS: 12.8 }])).toEqual([[11, 12], [13, 14]]);
    expect(times([{ startS: 12, endS: 13 }])).toEqual([[11, 12], [13, 14]]);
    expect(times([{ startS: 10, endS: 11 }, { startS: 13.5, endS: 14 }, { startS: 14, endS: 15 }])).toEqual([[11, 12, 13], [14]]);
    expect(times([{ startS: 11, endS: 12 }, { startS: 12, endS: 13 }])).toEqual([[11], [12], [13, 14]]);
    expect(runsOf(plot({ lines: [{ ink: 'current', timeS: [], values: [] }] }), 'current')).toEqual([]);
    // what follows the gap is as high as it was read: 3 A are 30 px above 150, 4 A 40 px
    expect(runsOf(plot({ lines: [{ ink: 'current', timeS: [11, 12, 13, 14], values: [1, 2, 3, 4], gaps: [{ startS: 12, endS: 13 }] }] }), 'current')).toEqual([[120, 140, 140, 130], [160, 120, 180, 110]]);
  });

  it('of one moment lies at the left edge', () => {
    expect(runsOf(plot({ startS: 10, endS: 10, lines: [{ ink: 'current', timeS: [10], values: [0] }] }), 'current')).toEqual([[100, 150]]);
  });
});

describe('a gap', () => {
  it('is a band over the height of the plot, within it, and never too thin to see', () => {
    const bands = plot({ gaps: [{ startS: 12, endS: 14 }, { startS: 5, endS: 11 }, { startS: 19, endS: 25 }, { startS: 15, endS: 15.01 }, { startS: 9, endS: 10 }, { startS: 20, endS: 21 }] }).flatMap((piece) => (piece.kind === 'box' ? [piece] : []));
    expect(bands.map(({ x, y, width, height, ink }) => [x, y, width, height, ink])).toEqual([[140, 50, 40, 100, 'gap'], [100, 50, 20, 100, 'gap'], [280, 50, 20, 100, 'gap'], [200, 50, 1, 100, 'gap']]);
  });
});

describe('the axis of the current', () => {
  it('has a grid line and a label a step, and its zero stands out', () => {
    const pieces = plot({ current: { low: -10, high: 10 }, ticks: { time: 1, current: 4 } });
    // 5 px an ampere
    expect(runsOf(pieces, 'zero')).toEqual([[100, 100, 300, 100]]);
    expect(runsOf(pieces, 'grid').slice(0, 4)).toEqual([[100, 150, 300, 150], [100, 125, 300, 125], [100, 75, 300, 75], [100, 50, 300, 50]]);
    const labels = textsOf(pieces).filter(({ anchor, bold }) => anchor === 'end' && bold !== true);
    expect(labels.slice(0, 5).map(({ text, x, y }) => [text, x, y])).toEqual([['\u221210', 95, 150], ['\u22125', 95, 125], ['0', 95, 100], ['5', 95, 75], ['10', 95, 50]]);
    expect(textsOf(pieces).find(({ text }) => text === 'A')).toMatchObject({ x: 95, y: 40, anchor: 'end', bold: true });
  });

  it('is in mA where all of it stays below 1 A, on either side of zero', () => {
    expect(wordsOf(plot({ current: { low: 0, high: 0.5 }, ticks: { time: 1, current: 5 } }))).toEqual(expect.arrayContaining(['mA', '0', '100', '500']));
    expect(runsOf(plot({ current: { low: 0, high: 0.5 }, ticks: { time: 1, current: 5 } }), 'grid')[0]).toEqual([100, 130, 300, 130]);
    const both = textsOf(plot({ current: { low: -0.4, high: 0.4 }, ticks: { time: 1, current: 5 } })).filter(({ anchor, bold }) => anchor === 'end' && bold !== true);
    // 100 px for 800 mA: 25 px for 200 mA
    expect(both.slice(0, 5).map(({ text, y }) => [text, Math.round(y)])).toEqual([['\u2212400', 150], ['\u2212200', 125], ['0', 100], ['200', 75], ['400', 50]]);
    expect(wordsOf(plot({ current: { low: -0.9, high: 0.5 } }))).toContain('mA');
    for (const current of [{ low: 0, high: 1 }, { low: -1, high: 0.5 }]) expect(wordsOf(plot({ current }))).toContain('A');
  });
});

describe('the axis of the volts', () => {
  it('is right of the plot, with as many labels as there is room for, and not there without volts', () => {
    const pieces = plot({ voltage: { low: 10, high: 15 }, ticks: { time: 1, current: 1, voltage: 5 } });
    const labels = textsOf(pieces).filter(({ anchor }) => anchor === 'start');
    expect(labels.map(({ text, x, y }) => [text, x, y])).toEqual([['10', 305, 150], ['11', 305, 130], ['12', 305, 110], ['13', 305, 90], ['14', 305, 70], ['15', 305, 50], ['V', 305, 40]]);
    expect(labels.at(-1)!.bold).toBe(true);
    expect(wordsOf(plot({ voltage: { low: 10, high: 15 }, ticks: { time: 1, current: 5 } }))).toContain('13');
    expect(wordsOf(plot({}))).not.toContain('V');
  });
});

describe('the axis of time', () => {
  const below = (pieces: readonly PictureElement[]) => textsOf(pieces).filter(({ y }) => y === 160);

  it('has a mark and a label a step, the last one kept inside', () => {
    const pieces = plot({ ticks: { time: 5, current: 1 } });
    expect(below(pieces).map(({ text, x, anchor }) => [text, x, anchor])).toEqual([['10 s', 100, 'middle'], ['12 s', 140, 'middle'], ['14 s', 180, 'middle'], ['16 s', 220, 'middle'], ['18 s', 260, 'middle'], ['20 s', 300, 'end']]);
    // within two letters of the right edge, not at them
    expect(below(plot({ startS: 0, endS: 10, ticks: { time: 10, current: 1 } })).slice(-2).map(({ text, anchor }) => [text, anchor])).toEqual([['9 s', 'middle'], ['10 s', 'end']]);
    // 20 s lie 10 px before the edge, 19 s 29 px
    expect(below(plot({ startS: 10, endS: 20.5, ticks: { time: 12, current: 1 } })).slice(-2).map(({ text, anchor }) => [text, anchor])).toEqual([['19 s', 'middle'], ['20 s', 'end']]);
    expect(runsOf(pieces, 'grid').at(-1)).toEqual([300, 150, 300, 150 + 10 / 3]);
    expect(runsOf(plot({ ticks: { time: 5, current: 1 }, timeGrid: true }), 'grid').at(-1)).toEqual([300, 50, 300, 150]);
    expect(runsOf(pieces, 'frame')).toEqual([[100, 50, 100, 150, 300, 150]]);
  });
});

describe('a limit', () => {
  it('is drawn where it lies on the axis, with its name', () => {
    const pieces = plot({ limits: [{ atA: 5, name: 'flag above 5 A' }, { atA: 10 }, { atA: 10.01 }, { atA: 0 }, { atA: -0.01 }] });
    expect(runsOf(pieces, 'limit')).toEqual([[100, 100, 300, 100], [100, 50, 300, 50], [100, 150, 300, 150]]);
    expect(textsOf(pieces).find(({ text }) => text === 'flag above 5 A')).toMatchObject({ x: 105, y: 93, anchor: 'start' });
  });

  it('counts for the axis while it is less than twice the highest reading', () => {
    // 6 % of air above
    expect(spanOf([1, 10], [15]).high).toBeCloseTo(15.9, 12);
    expect(spanOf([1, 10], [19.9]).high).toBeCloseTo(19.9 * 1.06, 12);
    expect(spanOf([1, 10], [20]).high).toBeCloseTo(10.6, 12);
    expect(spanOf([10, 1], [5]).high).toBeCloseTo(10.6, 12);
    expect(spanOf([])).toEqual({ low: 0, high: 1 });
    expect(spanOf([], [3])).toEqual({ low: 0, high: 1 });
    expect(spanOf([5])).toEqual({ low: 4, high: 6 });
    expect(spanOf([-4, 10])).toEqual({ low: expect.closeTo(-4.84, 12), high: expect.closeTo(10.84, 12) });
  });
});
