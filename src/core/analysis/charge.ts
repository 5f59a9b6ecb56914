import type { Trace } from '../trace.ts';
import { lowerBound } from '../trace.ts';

interface Charge {
  /** A s, signed; missing time adds nothing */
  readonly chargeC: number;
  readonly chargeAh: number;
  /** over the time that was measured; 0 when none was */
  readonly meanA: number;
  /** measured time inside the selection, s: its length less the gaps */
  readonly measuredS: number;
}

/**
 * Charge that flowed between two moments: the trapezoid under the current, cut at the two moments by straight lines between samples.
 * Gaps listed in the trace are left out, not bridged. O(samples inside).
 */
export function chargeBetween(trace: Trace, startS: number, endS: number): Charge {
  const { timeS, currentA, gaps } = trace;
  const startIndex = Math.max(0, lowerBound(timeS, startS) - 1);
  let chargeC = 0;
  let measuredS = 0;
  let gap = 0;
  for (let i = startIndex; i + 1 < timeS.length && timeS[i] < endS; i++) {
    const fromS = Math.max(timeS[i], startS);
    const toS = Math.min(timeS[i + 1], endS);
    if (toS <= fromS) continue;
    while (gap < gaps.length && gaps[gap].endS <= timeS[i]) gap++;
    if (gap < gaps.length && gaps[gap].startS < timeS[i + 1]) continue;
    const slope = (currentA[i + 1] - currentA[i]) / (timeS[i + 1] - timeS[i]);
    const middleA = currentA[i] + slope * ((fromS + toS) / 2 - timeS[i]);
    chargeC += middleA * (toS - fromS);
    measuredS += toS - fromS;
  }
  return { chargeC, chargeAh: chargeC / 3600, meanA: measuredS > 0 ? chargeC / measuredS : 0, measuredS };
}
