import type { Sampling } from './sampling.ts';

/** Mains hum as one steady sine wave. */
export interface Hum {
  readonly frequencyHz: number;
  readonly amplitudeA: number;
}

/** Hz; the mains frequencies of the world */
const MAINS_HZ = [50, 60];
/** Hz; grids stay within 0.2 Hz of their nominal frequency in normal operation (EN 50160: 1 % for 99.5 % of the year) */
const PULL_HZ = 0.5;
/** s; stretches of idle time over which one phase is read */
const PIECE_S = 0.1;
/** pieces; 24 s of idle time tell a frequency to a thousandth of a hertz */
const MOST_PIECES = 240;
/** share of the pieces' amplitudes that must add up in one phase; noise alone reaches 1/sqrt(pieces) */
const COHERENT = 0.75;

/**
 * Finds mains hum in the idle stretches and subtracts it from the whole column, in place: a hum is steady, so what is learnt while
 * nothing flows holds while the motor runs. Needs half a second of idle time and a rate that shows the hum.
 * One pass of complex demodulation, then a small search for the exact frequency. O(n).
 */
export function removeHum(timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, sampling: Sampling, noiseA: number): Hum | null {
  if (sampling.rateHz < 150) return null;
  const waves = MAINS_HZ.flatMap((mainsHz) => waveNear(mainsHz, timeS, deviationA, idle, sampling, noiseA) ?? []);
  if (waves.length === 0) return null;
  // a piece is no whole number of periods where the grid is off its nominal frequency: a little of a 60 Hz hum is read at 50 Hz too, in one phase
  const { frequencyHz, amplitudeA, cosA, sinA } = waves.reduce((most, wave) => (wave.amplitudeA > most.amplitudeA ? wave : most));
  subtract(timeS, deviationA, frequencyHz, cosA, sinA);
  return { frequencyHz, amplitudeA };
}

/** The steady wave near one mains frequency; null where there is none, or too little idle time to tell. */
function waveNear(mainsHz: number, timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, sampling: Sampling, noiseA: number): (Wave & Hum) | null {
  const pieces = demodulate(timeS, deviationA, idle, mainsHz, Math.round(PIECE_S * sampling.rateHz));
  if (pieces.length < 5 * 3) return null;
  const found = bestOffset(pieces);
  return found.coherence < COHERENT || found.amplitudeA < 0.25 * noiseA ? null : { ...found, frequencyHz: mainsHz + found.offsetHz };
}

/** Triples (time, real, imaginary) of the wave at `hz` in each idle piece. */
function demodulate(timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, hz: number, pieceSamples: number): number[] {
  const pieces: number[] = [];
  // a thousand readings a second are enough for a wave of 60 Hz
  const stride = Math.max(1, Math.floor(pieceSamples / (1000 * PIECE_S)));
  for (let r = 0; r < idle.length; r += 2) {
    const whole = Math.floor((idle[r + 1] - idle[r]) / pieceSamples);
    for (let p = 0; p < whole && pieces.length < 3 * MOST_PIECES; p++) {
      const from = idle[r] + p * pieceSamples;
      let real = 0;
      let imaginary = 0;
      let used = 0;
      for (let i = from; i < from + pieceSamples; i += stride) {
        used++;
        const angle = 2 * Math.PI * hz * timeS[i];
        real += deviationA[i] * Math.cos(angle);
        imaginary += deviationA[i] * Math.sin(angle);
      }
      pieces.push((timeS[from] + timeS[from + pieceSamples - 1]) / 2, (2 * real) / used, (2 * imaginary) / used);
    }
  }
  return pieces;
}

interface Wave {
  readonly offsetHz: number;
  readonly amplitudeA: number;
  readonly cosA: number;
  readonly sinA: number;
  readonly coherence: number;
}

/** The pieces added up in the phase of a wave of the shifted frequency. */
function waveAt(pieces: readonly number[], offsetHz: number, total: number): Wave {
  let cosA = 0;
  let sinA = 0;
  for (let k = 0; k < pieces.length; k += 3) {
    const angle = 2 * Math.PI * offsetHz * pieces[k];
    cosA += pieces[k + 1] * Math.cos(angle) - pieces[k + 2] * Math.sin(angle);
    sinA += pieces[k + 2] * Math.cos(angle) + pieces[k + 1] * Math.sin(angle);
  }
  const size = Math.hypot(cosA, sinA);
  return { offsetHz, amplitudeA: size, cosA, sinA, coherence: size / total };
}

function bestOffset(pieces: readonly number[]): Wave {
  let total = 0;
  for (let k = 0; k < pieces.length; k += 3) total += Math.hypot(pieces[k + 1], pieces[k + 2]);
  const spanS = pieces[pieces.length - 3] - pieces[0];
  let step = Math.min(0.05, 0.2 / Math.max(spanS, 0.1));
  const at = (offsetHz: number): Wave => waveAt(pieces, offsetHz, total);
  let best = at(0);
  for (let offsetHz = -PULL_HZ; offsetHz <= PULL_HZ; offsetHz += step) {
    const tried = at(offsetHz);
    if (tried.amplitudeA > best.amplitudeA) best = tried;
  }
  // the top is round: parabolas through three places, ever nearer, give it to a thousandth of the first step
  for (; step > 1e-5; step /= 8) {
    const [before, after] = [at(best.offsetHz - step), at(best.offsetHz + step)];
    const bend = before.amplitudeA - 2 * best.amplitudeA + after.amplitudeA;
    if (!(bend < 0)) break;
    const refined = at(best.offsetHz + (step * 0.5 * (before.amplitudeA - after.amplitudeA)) / bend);
    if (refined.amplitudeA > best.amplitudeA) best = refined;
  }
  const count = pieces.length / 3;
  return { ...best, amplitudeA: best.amplitudeA / count, cosA: best.cosA / count, sinA: best.sinA / count };
}

function subtract(timeS: Float64Array, deviationA: Float32Array, hz: number, cosA: number, sinA: number): void {
  const omega = 2 * Math.PI * hz;
  for (let i = 0; i < deviationA.length; i++) {
    const angle = omega * timeS[i];
    deviationA[i] -= cosA * Math.cos(angle) + sinA * Math.sin(angle);
  }
}
