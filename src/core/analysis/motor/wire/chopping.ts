import { median, quantile } from '../../../stats.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { IndexRange } from '../types.ts';
import { FEWEST_PERIODS } from '../motor-model.ts';
import { LEVEL_S } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, MOST_OF, NEARLY_ALL, SMALL_PART, TRIFLE, clearOf } from '../signal/decision-levels.ts';

/** A supply that a control module switches on and off at a steady rate, as current or volts show it. */
export interface Chopping {
  /** null where it is folded down by the logger's rate, or too near to it to be sure */
  readonly frequencyHz: number | null;
  /** samples over which its mean is taken, a whole period where that is known */
  readonly samples: number;
  /** where only a part of the recording is chopped, as that of a drive which holds its place by pulses; null where all current is */
  readonly part: IndexRange | null;
}

/** Readings that swing between a high and a low level, with the moments at which they go up. */
interface Swings {
  readonly ups: readonly number[];
  /** of the readings in stretches with current, those in the middle half between low and high */
  readonly middleShare: number;
  /** readings in stretches that swing, and their share of those with current */
  readonly active: number;
  readonly share: number;
}

const FASTEST_HZ = 1000;

/**
 * Finds a chopped supply in one channel: most stretches with current swing deeply between two levels, at one frequency from the first
 * moment on, which no rotor does that has to gain speed first, and no bad contact ever. O(n).
 *
 * @param sizes magnitude of current or volts; nothing flows near zero
 */
export function findChopping(sizes: Float32Array, sampling: Sampling): Chopping | null {
  if (!everSwings(sizes)) return null;
  const blocks = blocksOf(sizes, sampling);
  // a swing that leaves more than half is no chopping: the deepest ripple of three segments leaves |sin| over 60 degrees, a half.
  // a swing that leaves something must be most of the current, a part of it may leave nothing between its pulses; a fast chopping folded down to some hertz too is seen over longer stretches
  return choppedIn(blocks, sampling, 1 / 2, MOST_OF) ?? choppedIn(blocks, sampling, SMALL_PART, CLEAR_PART) ?? choppedIn(joined(blocks, FEWEST), sampling, SMALL_PART, MOST_OF);
}

/** Whether any stretch could swing as deeply as asked: the volts of a battery never do, and need no closer look. */
function everSwings(sizes: Float32Array): boolean {
  let least = Infinity;
  let most = 0;
  for (let i = 0; i < sizes.length; i++) {
    if (sizes[i] < least) least = sizes[i];
    if (sizes[i] > most) most = sizes[i];
  }
  return least <= most / 2;
}

function choppedIn(blocks: Blocks, sampling: Sampling, deepestLeft: number, leastShare: number): Chopping | null {
  const { sizes } = blocks;
  const swings = swingsOf(blocks, deepestLeft);
  if (swings === null || swings.share < leastShare) return null;
  const { ups, active, middleShare } = swings;
  if (ups.length < FEWEST_PERIODS) return null;
  const gaps: number[] = [];
  for (let u = 1; u < ups.length; u++) gaps.push(ups[u] - ups[u - 1]);
  const period = median(gaps);
  const even = gaps.filter((gap) => Math.abs(gap - period) <= Math.max(1, SMALL_PART * period));
  // a gap that is neither the next pulse nor one that was missed, among the first: a rotor that gains speed
  if (gaps.slice(0, FEWEST).some((gap) => gap > (1 + CLEAR_PART) * period && gap < (2 - CLEAR_PART) * period)) return null;
  const isEven = even.length >= MOST_OF * gaps.length && even.length * period >= active / 2;
  // readings taken less than five times a period jump between the levels, evenly or not, and so do those of a fast chopping folded to near half the rate
  if (period < FEWEST || (!isEven && deepestLeft === SMALL_PART && swings.share > NEARLY_ALL)) return middleShare < CLEAR_PART && ups.length * period > active / 2 ? { frequencyHz: null, samples: Math.round(LEVEL_S * sampling.rateHz), part: null } : null;
  if (!isEven) return null;
  const exact = even.reduce((sum, gap) => sum + gap, 0) / even.length;
  const frequencyHz = sampling.rateHz / exact;
  // two periods fill a block
  const slowestHz = 2 / LEVEL_S;
  // slower than any module switches: a fast one folded down by the logger's rate, which must leave nothing; what leaves something is a rotor with a lost coil
  if (frequencyHz > FASTEST_HZ || (frequencyHz < slowestHz && deepestLeft > SMALL_PART)) return null;
  const part = swings.share > NEARLY_ALL ? null : { startIndex: Math.max(0, ups[0] - Math.ceil(exact / 2)), endIndex: Math.min(sizes.length, ups[ups.length - 1] + Math.ceil(2 * exact)) };
  return { frequencyHz: frequencyHz < slowestHz ? null : frequencyHz, samples: exact, part };
}

/** Stretches of one length with their highest level and their lowest reading. */
interface Blocks {
  readonly sizes: Float32Array;
  /** samples */
  readonly block: number;
  /** 95th percentile of each, or of the highest of those it joins */
  readonly tops: readonly number[];
  /** never above the low level, and cheaper to find */
  readonly lowest: readonly number[];
}

function blocksOf(sizes: Float32Array, { rateHz }: Sampling): Blocks {
  const block = Math.max(FEWEST, Math.round(LEVEL_S * rateHz));
  const tops: number[] = [];
  const lowest: number[] = [];
  for (let from = 0; from + block <= sizes.length; from += block) {
    tops.push(quantile(sizes.subarray(from, from + block), 1 - LITTLE));
    let least = Infinity;
    for (let i = from; i < from + block; i++) if (sizes[i] < least) least = sizes[i];
    lowest.push(least);
  }
  return { sizes, block, tops, lowest };
}

/** So many stretches as one each, with the highest of their levels. */
function joined({ sizes, block, tops, lowest }: Blocks, times: number): Blocks {
  const groups = Array.from({ length: Math.floor(tops.length / times) }, (_value, g) => g * times);
  return { sizes, block: block * times, tops: groups.map((g) => Math.max(...tops.slice(g, g + times))), lowest: groups.map((g) => Math.min(...lowest.slice(g, g + times))) };
}

function swingsOf({ sizes, block, tops, lowest }: Blocks, deepestLeft: number): Swings | null {
  if (tops.length < 2) return null;
  const highest = quantile(tops, 1 - TRIFLE);
  // over a chopping period a winding swings by D(1-D)/(f L/R) of its standing current (duty 0.9, 400 Hz, 2 ms: a ninth), an idling rotor by a few per cent
  const leastSwing = LITTLE * tops.reduce((most, top) => Math.max(most, top), 0);
  const floor = quantile(tops, TRIFLE);
  const ups: number[] = [];
  let active = 0;
  let deep = 0;
  let middle = 0;
  let lastDeep = -2;
  let up = false;
  for (const [b, top] of tops.entries()) {
    if (top < Math.max(clearOf() * floor, CLEAR_PART * highest)) continue;
    active += block;
    if (lowest[b] > deepestLeft * top) continue;
    const from = b * block;
    const part = sizes.subarray(from, from + block);
    const low = quantile(part, LITTLE);
    if (low > deepestLeft * top || top - low < leastSwing) continue;
    deep += block;
    const [rises, falls] = [low + MOST_OF * (top - low), low + CLEAR_PART * (top - low)];
    // a pulse may begin with the stretch, where the one before ended low
    if (lastDeep < b - 1) up = part[0] > rises;
    lastDeep = b;
    for (let i = 0; i < block; i++) {
      if (part[i] > falls && part[i] < rises) middle++;
      if (!up && part[i] > rises) {
        up = true;
        ups.push(from + i);
      } else if (up && part[i] < falls) up = false;
    }
  }
  return deep > 0 ? { ups, active: deep, share: deep / active, middleShare: middle / deep } : null;
}

/** Mean over a window of `samples`, a fraction of the outermost reading included, centred on each reading but for the ends, which have the mean of the window nearest to them. O(n). */
export function averaged(values: Float32Array, samples: number): Float32Array {
  const count = values.length;
  const sums = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) sums[i + 1] = sums[i] + values[i];
  const upTo = (at: number): number => {
    const whole = Math.min(count, Math.max(0, Math.floor(at)));
    const rest = Math.min(1, Math.max(0, at - whole));
    return sums[whole] + (whole < count ? rest * values[whole] : 0);
  };
  const result = new Float32Array(count);
  const wide = Math.min(samples, count);
  for (let i = 0; i < count; i++) {
    const from = Math.min(Math.max(0, i + 0.5 - wide / 2), count - wide);
    result[i] = (upTo(from + wide) - upTo(from)) / wide;
  }
  return result;
}


/** Share of the readings of `[from, to)` in which the chopped supply is on; null where a diode carries the current on. */
export function dutyOf(sizes: Float32Array, from: number, to: number): number | null {
  const part = sizes.subarray(from, to);
  if (part.length < FEWEST) return null;
  const [low, high] = [quantile(part, LITTLE), quantile(part, 1 - LITTLE)];
  // more left over is a current that a diode carries on, which does not show when the supply is on
  if (low > SMALL_PART * high) return null;
  let on = 0;
  let falling = 0;
  let falls = 0;
  for (let i = 1; i < part.length; i++) {
    if (part[i] > low + SMALL_PART * (high - low) && part[i] < low + NEARLY_ALL * (high - low) && part[i] < part[i - 1]) falling++;
    if (part[i] < (low + high) / 2 && part[i - 1] >= (low + high) / 2) falls++;
  }
  // cut off it falls within a reading or two; carried on it dies away
  if (falls === 0 || falling > 2 * falls) return null;
  for (const value of part) if (value > low + SMALL_PART * (high - low)) on++;
  return on / part.length;
}
