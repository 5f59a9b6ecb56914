/**
 * The usual rate of a recording, from the median interval: a hole or a burst does not move it. The median comes from a histogram of the
 * intervals' logarithms, 1 % wide, so that three days need no more memory than a second; the answer is the mean interval within the median's bin.
 */
interface RateMeter {
  add(timeS: Float64Array): void;
  /** null with fewer than two samples */
  rateHz(): number | null;
}

/** Bins from 1 ns to 10^6 s; log(1.01) apart. */
const BIN = Math.log(1.01);
const SHORTEST_S = 1e-9;
const BINS = Math.ceil(Math.log(1e15) / BIN) + 1;

export function measuredRateHz(): RateMeter {
  const counts = new Float64Array(BINS);
  const sumsS = new Float64Array(BINS);
  let intervals = 0;
  return {
    add(timeS) {
      for (let i = 1; i < timeS.length; i++) {
        const intervalS = timeS[i]! - timeS[i - 1]!;
        const bin = Math.min(BINS - 1, Math.max(0, Math.round(Math.log(intervalS / SHORTEST_S) / BIN)));
        counts[bin] = counts[bin]! + 1;
        sumsS[bin] = sumsS[bin]! + intervalS;
        intervals++;
      }
    },
    rateHz() {
      let below = 0;
      for (let bin = 0; bin < BINS; bin++) {
        below += counts[bin]!;
        if (below > 0 && below >= intervals / 2) return Number((counts[bin]! / sumsS[bin]!).toPrecision(12));
      }
      return null;
    },
  };
}
