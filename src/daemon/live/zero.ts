import { formatCurrent, language } from '../../core/present/language.ts';
import type { SampleBlock } from '../../core/trace.ts';
import type { Zero } from '../recording/types.ts';

/** Seconds of readings a zero is the mean of; what the page promises. */
export const ZERO_WINDOW_S = 2;
/** Fewer readings make no mean worth subtracting. */
const MIN_READINGS = 10;
/**
 * Two halves of the window this far apart are moving. standardErrors: 1 of 16,000 steady windows of white noise (normal distribution) ·
 * shareOfSpread: a ramp moves the halves apart by 1.7 of its own standard deviations and a step by 2 (arithmetic); slow noise of a clamp at
 * rest stays below (common practice, no published source)
 */
const MOVING = { standardErrors: 4, shareOfSpread: 1 } as const;
/** Zero error of a sensor whose data sheet was not typed in, as a share of full scale (common practice, no published source), or where the range is not known either: that of a 30 A sensor. */
const UNSTATED_ERROR = { shareOfRange: 0.02, unknownRangeA: 0.6 } as const;
/** Volts that count as none at a lead: contact resistance and noise stay below, every supply is above (common practice, no published source). */
const NO_VOLTS_V = 1;

export interface ZeroConditions {
  readonly fullScaleA: number | null;
  /** largest zero error by the data sheet of the sensor, A */
  readonly statedErrorA: number | null;
  /** the voltage lead has read no volts in this set-up: it sits behind the switch, so volts there mean that the motor is on */
  readonly leadWasDead: boolean;
}

/**
 * The zero step: the mean of the last two seconds becomes the new zero. `block` are readings that `before` was already taken off, so
 * the new zero is the old one plus their mean; how far it moved since is said, since a clamp that drifts by more than the drain that
 * is looked for cannot show it. Returns a sentence when a current may be flowing: a false zero falsifies every reading after it.
 */
export function takeZero(block: SampleBlock, before: Zero | null, conditions: ZeroConditions, takenAt: Date): Zero | string {
  const words = language.pages.zero;
  const { currentA } = block;
  const count = currentA.length;
  if (count < MIN_READINGS) return words.tooFew(count, ZERO_WINDOW_S);
  const volts = meanVolts(block.voltageV);
  if (conditions.leadWasDead && Math.abs(volts) > NO_VOLTS_V) return words.volts(volts);
  const half = count >> 1;
  const early = meanOf(currentA, 0, half);
  const late = meanOf(currentA, half, count);
  const whole = meanOf(currentA, 0, count);
  const noiseA = Math.sqrt(whole.squares / Math.max(1, count - 1));
  // within-half scatter, so that a step between the halves does not hide itself
  const scatterA = Math.sqrt((early.squares + late.squares) / Math.max(1, count - 2));
  const movedA = Math.abs(late.mean - early.mean);
  const limitA = conditions.statedErrorA ?? (conditions.fullScaleA === null ? UNSTATED_ERROR.unknownRangeA : UNSTATED_ERROR.shareOfRange * conditions.fullScaleA);
  const moving = movedA > MOVING.standardErrors * scatterA * Math.sqrt(1 / half + 1 / (count - half)) && movedA > MOVING.shareOfSpread * noiseA;
  if (moving || whole.furthest > limitA) return words.moving(formatCurrent(Math.max(movedA, whole.furthest)));
  const zeroA = (before?.zeroA ?? 0) + whole.mean;
  if (Math.abs(zeroA) > limitA) return words.tooFar(formatCurrent(zeroA), formatCurrent(limitA));
  const texts = [words.done(formatCurrent(zeroA), formatCurrent(noiseA))];
  if (before !== null) texts.push(words.since(formatCurrent(whole.mean), before.takenAt.slice(11, 16)));
  return { zeroA, noiseA, readings: count, takenAt: takenAt.toISOString(), text: texts.join(' ') };
}

/** Whether a voltage lead has read nothing in any of these blocks. */
export function sawDeadLead(blocks: readonly SampleBlock[]): boolean {
  return blocks.some(({ voltageV }) => voltageV !== null && voltageV.some((volts) => Math.abs(volts) < NO_VOLTS_V));
}

function meanVolts(voltageV: Float32Array | null): number {
  if (voltageV === null) return 0;
  let sum = 0;
  let count = 0;
  for (const volts of voltageV) {
    if (Number.isNaN(volts)) continue;
    sum += volts;
    count++;
  }
  return count === 0 ? 0 : sum / count;
}

function meanOf(values: Float32Array, startIndex: number, endIndex: number): { mean: number; squares: number; furthest: number } {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += values[i]!;
  const mean = sum / (endIndex - startIndex);
  let squares = 0;
  let furthest = 0;
  for (let i = startIndex; i < endIndex; i++) {
    const off = values[i]! - mean;
    squares += off ** 2;
    furthest = Math.max(furthest, Math.abs(off));
  }
  return { mean, squares, furthest };
}
