import type { InrushReading } from '../../codes.ts';
import type { Baseline } from '../../sensor/baseline.ts';
import type { Press } from '../../presses/presses.ts';
import type { Peak } from '../../motion/peak.ts';

/** Charge and I²t from the switch-on to `endIndex` by the trapezoidal rule on the time column; A s and A² s. */
export function inrushFields(press: Press, peak: Peak, endIndex: number, timeS: Float64Array, baseline: Baseline): InrushReading {
  const deviationA = baseline.deviationA;
  let chargeC = 0;
  let i2tA2s = 0;
  const noiseA2 = baseline.noiseA * baseline.noiseA;
  for (let i = press.startIndex + 1; i < endIndex; i++) {
    const stepS = timeS[i] - timeS[i - 1];
    const beforeA = deviationA[i - 1] * press.sign;
    const nowA = deviationA[i] * press.sign;
    chargeC += (stepS * (beforeA + nowA)) / 2;
    // the clamp's own noise would add its variance to every square
    i2tA2s += stepS * ((beforeA * beforeA + nowA * nowA) / 2 - noiseA2);
  }
  return {
    peak_a: peak.peakA,
    at_s: timeS[peak.index],
    settle_s: timeS[endIndex - 1] - timeS[press.startIndex],
    charge_c: chargeC,
    i2t_a2s: Math.max(0, i2tA2s),
  };
}
