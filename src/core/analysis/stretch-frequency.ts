import { peakBetweenBins, spectrumMaker, strongestBin } from './motor/signal/spectrum.ts';

/** Fewest samples of a spectrum: 64 bins are needed to tell a line from its surroundings. Common practice, no published source. */
const FEWEST_SAMPLES = 128;
/** A line that goes round fewer times than this in the stretch has no bins below it in which a drift would show. Common practice, no published source. */
const FEWEST_PERIODS = 5;
/** Bins beside a line that its own foot covers with a Hann window (its main lobe is four bins wide: Harris 1978). */
const FOOT_BINS = 2;
/** Bins on either side with which a line is compared. Common practice, no published source. */
const BESIDE_BINS = 8;
/** A line stands out when its power is so many times the strongest beside it: 10 dB. Common practice, no published source. */
const STANDS_OUT = 10;
/** Least share of all power above the drift that the line itself holds. Common practice, no published source. */
const LEAST_SHARE = 0.2;
/** Samples further apart than so many mean spacings are no even rate: the spectrum would smear. */
const UNEVEN = 2;

/**
 * Frequency of the one line that stands out of a stretch of samples, Hz; null where none does, the samples are few, or their rate is uneven. Reads the
 * largest power of two of samples from the start. A line above half the sample rate is folded and cannot be distinguished from a true one: what is given here is
 * what the samples show.
 */
export function strongestLineHz(timeS: Float64Array, currentA: Float32Array): number | null {
  if (timeS.length < FEWEST_SAMPLES) return null;
  const length = 2 ** Math.floor(Math.log2(timeS.length));
  const spacingS = (timeS[length - 1] - timeS[0]) / (length - 1);
  for (let i = 1; i < length; i++) if (timeS[i] - timeS[i - 1] > UNEVEN * spacingS) return null;
  const power = new Float64Array(length / 2 + 1);
  spectrumMaker(length).addPower(currentA, 0, power);
  const bin = strongestBin(power, FEWEST_PERIODS, length / 2 - 1);
  // the flank of a line that goes round fewer times
  if (power[bin - 1] > power[bin]) return null;
  let allPower = 0;
  let linePower = 0;
  let besidePower = 0;
  for (let k = FEWEST_PERIODS; k < length / 2; k++) {
    const off = Math.abs(k - bin);
    allPower += power[k];
    if (off <= FOOT_BINS) linePower += power[k];
  }
  for (let k = Math.max(1, bin - BESIDE_BINS); k <= Math.min(length / 2 - 1, bin + BESIDE_BINS); k++) if (Math.abs(k - bin) > FOOT_BINS) besidePower = Math.max(besidePower, power[k]);
  if (power[bin] <= STANDS_OUT * besidePower || linePower < LEAST_SHARE * allPower) return null;
  return peakBetweenBins(power, bin) / (length * spacingS);
}
