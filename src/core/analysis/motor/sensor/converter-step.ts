import { MAD_TO_SIGMA, median } from '../../../stats.ts';
import { readingStepA } from '../../night/levels/noise.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';
import { FEWEST, LITTLE } from '../signal/decision-levels.ts';

/**
 * What the converter's steps leave open in the average of readings that scatter by `sigmaA` about their level, A (95 %). Scatter of half
 * a step washes the steps out; without any the level may be anywhere within its step (first term of the Fourier series of a rounded
 * normal variable: exp(-2 pi² sigma²/step²); B. Widrow, "Statistical theory of quantization", IEEE Trans. Instrum. Meas. 45(2), 1996).
 */
export function stepUncertainty(stepA: number, sigmaA: number): number {
  if (!(stepA > 0)) return 0;
  const scatter = sigmaA / stepA;
  // 95 % of an even spread lie this close to its middle
  return ((1 - LITTLE) / 2) * stepA * Math.exp(-2 * Math.PI * Math.PI * Math.max(0, scatter * scatter - 1 / 12));
}

/** Step of the converter, A: read off a few thousand raw values; 0 when they lie on no raster. */
export function converterStep(currentA: Float32Array): number {
  if (currentA.length <= ENOUGH_READINGS) return readingStepA(currentA);
  const picked = new Float32Array(ENOUGH_READINGS);
  for (let i = 0; i < ENOUGH_READINGS; i++) picked[i] = currentA[Math.floor((i * currentA.length) / ENOUGH_READINGS)];
  return readingStepA(picked);
}

/** Scatter of readings within short stretches, without what moves slowly: from differences of neighbours some way apart. */
export function shortScatter(values: Float64Array): number {
  if (values.length < 2 * FEWEST) return 0;
  const off: number[] = [];
  const stride = Math.max(1, Math.floor(values.length / ENOUGH_READINGS));
  for (let i = FEWEST; i < values.length; i += stride) off.push(Math.abs(values[i] - values[i - FEWEST]));
  return (median(off) * MAD_TO_SIGMA) / Math.SQRT2;
}
