/** windows, or batches, of one mean: it then scatters by a fifth; more cost time, and batches would be shorter than the load's own waves */
export const MOST_WINDOWS = 24;

/** Power spectra by the fast Fourier transform (radix 2, Cooley and Tukey 1965), Hann window (Harris 1978). */
export class SpectrumMaker {
  readonly length: number;
  private readonly cosines: Float64Array;
  private readonly sines: Float64Array;
  private readonly window: Float64Array;
  private readonly reversed: Uint32Array;
  private readonly real: Float64Array;
  private readonly imaginary: Float64Array;

  /** @param length samples a window, a power of two */
  constructor(length: number) {
    this.length = length;
    this.cosines = new Float64Array(length / 2);
    this.sines = new Float64Array(length / 2);
    this.window = new Float64Array(length);
    this.reversed = new Uint32Array(length);
    this.real = new Float64Array(length);
    this.imaginary = new Float64Array(length);
    for (let k = 0; k < length / 2; k++) {
      this.cosines[k] = Math.cos((2 * Math.PI * k) / length);
      this.sines[k] = -Math.sin((2 * Math.PI * k) / length);
    }
    const bits = Math.round(Math.log2(length));
    for (let i = 0; i < length; i++) {
      this.window[i] = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length);
      let turned = 0;
      for (let b = 0; b < bits; b++) turned |= ((i >> b) & 1) << (bits - 1 - b);
      this.reversed[i] = turned;
    }
  }

  /**
   * Power in each bin 0..length/2 of the windowed stretch that starts at `startIndex`, added to `power`. Mean and slope are taken out first.
   * A sine of amplitude a on a bin adds (a * length / 4)².
   */
  addPower(values: Float32Array | Float64Array, startIndex: number, power: Float64Array): void {
    this.load(values, startIndex, this.real);
    this.imaginary.fill(0);
    this.transform();
    const { length, real, imaginary } = this;
    for (let k = 0; k <= length / 2; k++) power[k] += real[k] * real[k] + imaginary[k] * imaginary[k];
  }

  /** The same for two stretches at once, for the price of one transform: the second rides along as the imaginary part. */
  addPowers(values: Float32Array | Float64Array, firstIndex: number, secondIndex: number, first: Float64Array, second: Float64Array): void {
    this.load(values, firstIndex, this.real);
    this.load(values, secondIndex, this.imaginary);
    this.transform();
    const { length, real, imaginary } = this;
    for (let k = 0; k <= length / 2; k++) {
      const mirror = k === 0 ? 0 : length - k;
      const evenReal = real[k] + real[mirror];
      const evenImaginary = imaginary[k] - imaginary[mirror];
      const oddReal = imaginary[k] + imaginary[mirror];
      const oddImaginary = real[mirror] - real[k];
      first[k] += (evenReal * evenReal + evenImaginary * evenImaginary) / 4;
      second[k] += (oddReal * oddReal + oddImaginary * oddImaginary) / 4;
    }
  }

  /** The stretch without its mean and its slope, windowed, in the transform's order of indices. */
  private load(values: Float32Array | Float64Array, startIndex: number, into: Float64Array): void {
    const { length, window, reversed } = this;
    const half = length >> 1;
    let early = 0;
    let late = 0;
    for (let i = 0; i < half; i++) early += values[startIndex + i];
    for (let i = half; i < length; i++) late += values[startIndex + i];
    const slope = (late - early) / (half * half);
    const first = (early + late) / length - (slope * (length - 1)) / 2;
    for (let i = 0; i < length; i++) into[reversed[i]] = (values[startIndex + i] - first - slope * i) * window[i];
  }

  /** Two stages a pass, so that each value is read and written half as often; a last single one where their number is odd. */
  private transform(): void {
    const { length } = this;
    let size = 2;
    for (; 2 * size <= length; size <<= 2) this.joinTwice(size);
    if (size <= length) this.join();
  }

  /** The last stage: the two halves become one. */
  private join(): void {
    const { length, real, imaginary, cosines, sines } = this;
    const half = length / 2;
    for (let even = 0; even < half; even++) {
      const odd = even + half;
      const cosine = cosines[even];
      const sine = sines[even];
      const oddReal = real[odd] * cosine - imaginary[odd] * sine;
      const oddImaginary = real[odd] * sine + imaginary[odd] * cosine;
      real[odd] = real[even] - oddReal;
      imaginary[odd] = imaginary[even] - oddImaginary;
      real[even] += oddReal;
      imaginary[even] += oddImaginary;
    }
  }

  /** The stages of `size` and of twice that: four parts a, b, c, d become two pairs, and the pairs one. */
  private joinTwice(size: number): void {
    const { length, real, imaginary, cosines, sines } = this;
    const half = size / 2;
    const stride = length / size;
    for (let k = 0; k < half; k++) {
      const cosine = cosines[k * stride];
      const sine = sines[k * stride];
      const nearCosine = cosines[(k * stride) / 2];
      const nearSine = sines[(k * stride) / 2];
      const farCosine = cosines[((k + half) * stride) / 2];
      const farSine = sines[((k + half) * stride) / 2];
      for (let a = k; a < length; a += 2 * size) {
        const b = a + half;
        const c = b + half;
        const d = c + half;
        const turnedB = real[b] * cosine - imaginary[b] * sine;
        const turnedBi = real[b] * sine + imaginary[b] * cosine;
        const turnedD = real[d] * cosine - imaginary[d] * sine;
        const turnedDi = real[d] * sine + imaginary[d] * cosine;
        const near = real[c] + turnedD;
        const nearI = imaginary[c] + turnedDi;
        const far = real[c] - turnedD;
        const farI = imaginary[c] - turnedDi;
        const turnedNear = near * nearCosine - nearI * nearSine;
        const turnedNearI = near * nearSine + nearI * nearCosine;
        const turnedFar = far * farCosine - farI * farSine;
        const turnedFarI = far * farSine + farI * farCosine;
        const sum = real[a] + turnedB;
        const sumI = imaginary[a] + turnedBi;
        const rest = real[a] - turnedB;
        const restI = imaginary[a] - turnedBi;
        real[a] = sum + turnedNear;
        imaginary[a] = sumI + turnedNearI;
        real[b] = rest + turnedFar;
        imaginary[b] = restI + turnedFarI;
        real[c] = sum - turnedNear;
        imaginary[c] = sumI - turnedNearI;
        real[d] = rest - turnedFar;
        imaginary[d] = restI - turnedFarI;
      }
    }
  }
}

/** Tables by length: a trace asks for a few powers of two again and again. */
const makers = new Map<number, SpectrumMaker>();

/** The spectrum maker for windows of `length` samples, a power of two. */
export function spectrumMaker(length: number): SpectrumMaker {
  const known = makers.get(length);
  if (known !== undefined) return known;
  const made = new SpectrumMaker(length);
  makers.set(length, made);
  return made;
}

/** The bin of the highest power from `first` to `last`, both included; `first` when they hold none. */
export function strongestBin(power: Float64Array, first: number, last: number): number {
  let best = first;
  for (let k = first; k <= last; k++) if (power[k] > power[best]) best = k;
  return best;
}

/** Position of a peak between bins, by a parabola through the logarithms of its bin and the two beside it. */
export function peakBetweenBins(power: Float64Array, k: number): number {
  const before = Math.log(power[k - 1] + 1e-300);
  const at = Math.log(power[k] + 1e-300);
  const after = Math.log(power[k + 1] + 1e-300);
  const bend = before - 2 * at + after;
  return bend < 0 ? k + Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / bend)) : k;
}
