import { roundStep } from '../../../src/core/picture/axis.ts';

/**
 * Bounds of the two vertical scales. They hold still as long as they can: a scale grows at once when the data need it, and shrinks only
 * when the data use less than half of it, so that the eye can compare one moment with the next.
 */
export type Range = readonly [low: number, high: number];

/** Smallest height of the current scale, A: below, the noise of a cheap clamp would fill the chart and look like a signal. */
const MIN_CURRENT_SPAN_A = 0.02;
/** Smallest height of the voltage scale's data part, V. */
const MIN_VOLTAGE_SPAN_V = 2;

/** Current: zero is always in sight, because "how much above nothing" is the question. Limits do not come into it: one out of sight is named at the edge. */
export function currentRange(minA: number, maxA: number, previous: Range | null): Range {
  const low = Math.min(0, minA);
  const high = Math.max(0, maxA);
  const dataSpan = high - low;
  const span = Math.max(high - low, MIN_CURRENT_SPAN_A);
  const wanted: Range = [low < 0 ? low - 0.08 * span : -0.04 * span, Math.max(high, low + span) + 0.08 * span];
  return settle(wanted, previous, Math.max(dataSpan, MIN_CURRENT_SPAN_A));
}

/**
 * Voltage. At a motor's feed it comes down to zero and turns with the switch: then its zero is level with the current's. At a
 * battery it hardly moves: then its own ups and downs fill the upper half, where they do not hide the current.
 */
export function voltageRange(minV: number, maxV: number, previous: Range | null, currentA: Range): Range {
  const nearZero = minV < 0.3 * Math.max(maxV, -minV);
  if (nearZero) {
    const above = currentA[1] / (currentA[1] - currentA[0]);
    const below = 1 - above;
    const span = Math.max(Math.max(maxV, 1) / above, below > 0.1 ? -minV / below : 0) * 1.3;
    // the current's scale holds still, so this one does too, unless the readings leave it or leave most of it empty
    const held = previous !== null && Math.abs(-previous[0] / (previous[1] - previous[0]) - below) < 1e-6 ? previous[1] - previous[0] : 0;
    const keeps = held >= span / 1.3 && held < 2 * span;
    const height = keeps ? held : span;
    return [-below * height, above * height];
  }
  const middle = (minV + maxV) / 2;
  const half = Math.max(maxV - minV, MIN_VOLTAGE_SPAN_V) / 2;
  return settle([middle - 3.6 * half, middle + 1.3 * half], previous, 2 * half);
}

/** Bounds set by hand: moved by a share of their height, or closer (below 1) about a place, as a share of the height from below. */
export function movedRange([low, high]: Range, byShare: number): Range {
  const by = byShare * (high - low);
  return [low + by, high + by];
}

export function zoomedRange([low, high]: Range, atShare: number, factor: number): Range {
  const height = Math.min(Math.max((high - low) * factor, LEAST_HEIGHT), MOST_HEIGHT);
  const at = low + atShare * (high - low);
  return [at - atShare * height, at + (1 - atShare) * height];
}

/** A tenth of a milliampere across the chart, and more than any circuit of 24 V carries, A. */
const LEAST_HEIGHT = 1e-4;
const MOST_HEIGHT = 1e4;

function settle(wanted: Range, previous: Range | null, dataSpan: number): Range {
  if (previous !== null) {
    const fits = wanted[0] >= previous[0] - 1e-9 && wanted[1] <= previous[1] + 1e-9;
    const wantedSpan = wanted[1] - wanted[0];
    if (fits && wantedSpan > 0.5 * (previous[1] - previous[0])) return previous;
  }
  const step = roundStep(Math.max(wanted[1] - wanted[0], dataSpan) / 20);
  return [Math.floor(wanted[0] / step) * step, Math.ceil(wanted[1] / step) * step];
}
