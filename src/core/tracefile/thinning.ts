import { joinBlocks, type SampleBlock } from '../trace.ts';
import { language } from '../present/language.ts';

const words = language.files.thinning;

/**
 * Thinning of long captures: the full rate is kept around every change, and of each quiet bin only the samples with the smallest and the largest current and one
 * with the mean. What a night of sleep is made of shrinks to a thirtieth, and no peak is lost. The mean of the samples kept is not the mean of those that
 * were: a charge taken over a thinned stretch must use the middle one of each three, or the ± grows by the noise.
 */
export interface ThinningPolicy {
  /** a bin whose current spans more than this, or whose mean differs by more from the bin before, is a change, A */
  readonly changeA: number;
  /** kept at full rate before and after a change, s */
  readonly aroundS: number;
  /** length of a bin, s */
  readonly binS: number;
}

/**
 * The policy for changes of more than `changeA`. 10 s around: an actuation of a slow seat and what led to it; 1 s a bin: three samples a second keep a night of sleep at some MB.
 */
export function thinningFor(changeA: number): ThinningPolicy {
  return { changeA, aroundS: 10, binS: 1 };
}

/** What trace.json says of it. */
export function thinningText({ changeA, aroundS, binS }: ThinningPolicy): string {
  return words.fullRateWithinS(aroundS, changeA, binS);
}

/** Stretches at full rate that are listed; more than these are joined into the last. */
const MAX_SPANS = 10_000;

interface Bin {
  readonly block: SampleBlock;
  keep: boolean;
}

/** Takes samples in order and hands on those that stay, `aroundS` later. Holds no more than that stretch. */
export class Thinner {
  readonly policy: ThinningPolicy;
  /** stretches kept at full rate, in order */
  readonly keptFullRate: { startS: number; endS: number }[] = [];
  readonly #onBlock: (block: SampleBlock) => void;
  #bins: Bin[] = [];
  #parts: SampleBlock[] = [];
  #binStartS = Number.NaN;
  #lastMeanA = Number.NaN;
  #keepUntilS = -Infinity;

  constructor(policy: ThinningPolicy, onBlock: (block: SampleBlock) => void) {
    if (!(policy.changeA > 0 && policy.aroundS >= 0 && policy.binS > 0)) throw new RangeError(words.thinningNeedsAChange);
    this.policy = policy;
    this.#onBlock = onBlock;
  }

  add(block: SampleBlock): void {
    const { binS } = this.policy;
    const { timeS } = block;
    let from = 0;
    for (let i = 0; i < timeS.length; i++) {
      if (Number.isNaN(this.#binStartS)) this.#binStartS = timeS[i];
      if (timeS[i] < this.#binStartS + binS) continue;
      this.#parts.push(part(block, from, i));
      this.#closeBin();
      this.#binStartS = timeS[i];
      from = i;
    }
    this.#parts.push(part(block, from, timeS.length));
  }

  /** Hands on all that is held: at a gap, and at the end. */
  flush(): void {
    this.#closeBin();
    for (const bin of this.#bins) this.#emit(bin);
    this.#bins = [];
    this.#binStartS = Number.NaN;
    this.#lastMeanA = Number.NaN;
  }

  #closeBin(): void {
    const block = join(this.#parts);
    this.#parts = [];
    const rows = block.timeS.length;
    if (rows === 0) return;
    const { aroundS, changeA } = this.policy;
    const { lowAt, highAt, meanA } = extremes(block.currentA);
    // nothing before to compare with: the beginning counts as a change
    const changed = !(block.currentA[highAt] - block.currentA[lowAt] <= changeA && Math.abs(meanA - this.#lastMeanA) <= changeA);
    this.#lastMeanA = meanA;
    const startS = block.timeS[0];
    if (changed) {
      this.#keepUntilS = block.timeS[rows - 1] + aroundS;
      for (const bin of this.#bins) if (bin.block.timeS[bin.block.timeS.length - 1] >= startS - aroundS) bin.keep = true;
    }
    this.#bins.push({ block, keep: startS <= this.#keepUntilS });
    let done = 0;
    while (done < this.#bins.length && this.#bins[done].block.timeS[0] < startS - aroundS) this.#emit(this.#bins[done++]);
    this.#bins.splice(0, done);
  }

  #emit({ block, keep }: Bin): void {
    const rows = block.timeS.length;
    if (!keep && rows > 3) return this.#onBlock(threeOf(block));
    this.#onBlock(block);
    const startS = block.timeS[0];
    const endS = block.timeS[rows - 1];
    const last = this.keptFullRate[this.keptFullRate.length - 1];
    if (last !== undefined && (startS - last.endS < this.policy.binS || this.keptFullRate.length === MAX_SPANS)) last.endS = endS;
    else this.keptFullRate.push({ startS, endS });
  }
}

/** Smallest, largest and mean of a bin, each at the time of a sample: the mean at the sample nearest the middle that is neither of the others. */
function threeOf(block: SampleBlock): SampleBlock {
  const { timeS, currentA, voltageV } = block;
  const { lowAt, meanA } = extremes(currentA);
  let { highAt } = extremes(currentA);
  if (highAt === lowAt) highAt = lowAt === 0 ? timeS.length - 1 : 0;
  let meanAt = timeS.length >> 1;
  while (meanAt === lowAt || meanAt === highAt) meanAt = (meanAt + 1) % timeS.length;
  const order = [lowAt, highAt, meanAt].sort((a, b) => a - b);
  return {
    timeS: Float64Array.from(order, (at) => timeS[at]),
    currentA: Float32Array.from(order, (at) => (at === meanAt ? meanA : currentA[at])),
    voltageV: voltageV === null ? null : Float32Array.from(order, (at) => (at === meanAt ? extremes(voltageV).meanA : voltageV[at])),
  };
}

function extremes(values: Float32Array): { lowAt: number; highAt: number; meanA: number } {
  let lowAt = 0;
  let highAt = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (values[i] < values[lowAt]) lowAt = i;
    if (values[i] > values[highAt]) highAt = i;
    sum += values[i];
  }
  return { lowAt, highAt, meanA: sum / values.length };
}

function part(block: SampleBlock, from: number, to: number): SampleBlock {
  return { timeS: block.timeS.slice(from, to), currentA: block.currentA.slice(from, to), voltageV: block.voltageV === null ? null : block.voltageV.slice(from, to) };
}

function join(parts: readonly SampleBlock[]): SampleBlock {
  const filled = parts.filter((block) => block.timeS.length > 0);
  return filled.length === 1 ? filled[0] : joinBlocks(filled, []);
}
