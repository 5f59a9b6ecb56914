import type { Sampling } from './sampling.ts';
import { ENOUGH_READINGS, MAINS_PERIOD_S } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, MOST_OF, SMALL_PART, TRIFLE } from '../signal/decision-levels.ts';

/** Mains hum as one steady sine wave. */
export interface Hum {
  readonly frequencyHz: number;
  readonly amplitudeA: number;
}

/** Hz; the mains frequencies of the world */
const MAINS_HZ = [50, 60];
/** s; one phase is read over five periods of 50 Hz, six of 60 Hz */
const pieceS = FEWEST * MAINS_PERIOD_S;
/** Hz; grids stay within 0.2 Hz of their nominal frequency in normal operation (EN 50160: 1 % for 99.5 % of the year) */
const PULL_HZ = 0.5;

/**
 * Finds mains hum in the idle stretches and subtracts it from the whole column, in place: a hum is steady, so what is learnt while
 * nothing flows holds while the motor runs. Needs half a second of idle time and a rate that shows the hum.
 * One pass of complex demodulation, then a small search for the exact frequency. O(n).
 */
export function removeHum(timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, sampling: Sampling, noiseA: number): Hum | null {
  if (sampling.rateHz < 2 * (Math.max(...MAINS_HZ) + PULL_HZ)) return null;
  const waves = MAINS_HZ.flatMap((mainsHz) => waveNear(mainsHz, timeS, deviationA, idle, sampling, noiseA) ?? []);
  if (waves.length === 0) return null;
  // a piece is no whole number of periods where the grid is off its nominal frequency: a little of a 60 Hz hum is read at 50 Hz too, in one phase
  const { frequencyHz, amplitudeA, cosA, sinA } = waves.reduce((most, wave) => (wave.amplitudeA > most.amplitudeA ? wave : most));
  subtract(timeS, deviationA, frequencyHz, cosA, sinA);
  return { frequencyHz, amplitudeA };
}

/** The steady wave near one mains frequency; null where there is none, or too little idle time to tell. */
function waveNear(mainsHz: number, timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, sampling: Sampling, noiseA: number): (Wave & Hum) | null {
  const pieces = demodulate(timeS, deviationA, idle, mainsHz, Math.round(pieceS * sampling.rateHz));
  // even in one phase they make no more than their mean size
  if (pieces.length < FEWEST || !(sizesOf(pieces) > CLEAR_PART * noiseA * pieces.length)) return null;
  const found = bestOffset(pieces);
  return found.coherence < MOST_OF || found.amplitudeA < CLEAR_PART * noiseA ? null : { ...found, frequencyHz: mainsHz + found.offsetHz };
}

/** One idle piece: its middle, s, and the wave in it. */
interface Piece {
  readonly atS: number;
  readonly realA: number;
  readonly imaginaryA: number;
}

/** The wave at `hz` in each idle piece; 20 s of them tell a frequency to a thousandth of a hertz. */
function demodulate(timeS: Float64Array, deviationA: Float32Array, idle: Int32Array, hz: number, pieceSamples: number): Piece[] {
  const pieces: Piece[] = [];
  // a thousand readings a second are enough for a wave of 60 Hz
  const stride = Math.max(1, Math.floor(pieceSamples / (1000 * pieceS)));
  for (let r = 0; r < idle.length; r += 2) {
    const whole = Math.floor((idle[r + 1] - idle[r]) / pieceSamples);
    for (let p = 0; p < whole && pieces.length < ENOUGH_READINGS / (1000 * pieceS); p++) {
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
      pieces.push({ atS: (timeS[from] + timeS[from + pieceSamples - 1]) / 2, realA: (2 * real) / used, imaginaryA: (2 * imaginary) / used });
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
function waveAt(pieces: readonly Piece[], offsetHz: number, total: number): Wave {
  let cosA = 0;
  let sinA = 0;
  for (const { atS, realA, imaginaryA } of pieces) {
    const angle = 2 * Math.PI * offsetHz * atS;
    cosA += realA * Math.cos(angle) - imaginaryA * Math.sin(angle);
    sinA += imaginaryA * Math.cos(angle) + realA * Math.sin(angle);
  }
  const size = Math.hypot(cosA, sinA);
  return { offsetHz, amplitudeA: size, cosA, sinA, coherence: size / total };
}

function sizesOf(pieces: readonly Piece[]): number {
  return pieces.reduce((sum, { realA, imaginaryA }) => sum + Math.hypot(realA, imaginaryA), 0);
}

function bestOffset(pieces: readonly Piece[]): Wave {
  const total = sizesOf(pieces);
  const spanS = pieces[pieces.length - 1].atS - pieces[0].atS;
  // a quarter of a turn over all of them
  let step = Math.min(SMALL_PART * PULL_HZ, CLEAR_PART / spanS);
  const at = (offsetHz: number): Wave => waveAt(pieces, offsetHz, total);
  let best = at(0);
  for (let offsetHz = -PULL_HZ; offsetHz <= PULL_HZ; offsetHz += step) {
    const tried = at(offsetHz);
    if (tried.amplitudeA > best.amplitudeA) best = tried;
  }
  // the top is round: parabolas through three places, ever nearer, give it to a ten-thousandth of a turn
  for (; step * spanS > TRIFLE ** 2; step /= 2) {
    const [before, after] = [at(best.offsetHz - step), at(best.offsetHz + step)];
    const bend = before.amplitudeA - 2 * best.amplitudeA + after.amplitudeA;
    if (!(bend < 0)) break;
    const refined = at(best.offsetHz + (step * 0.5 * (before.amplitudeA - after.amplitudeA)) / bend);
    if (refined.amplitudeA > best.amplitudeA) best = refined;
  }
  return { ...best, amplitudeA: best.amplitudeA / pieces.length, cosA: best.cosA / pieces.length, sinA: best.sinA / pieces.length };
}

function subtract(timeS: Float64Array, deviationA: Float32Array, hz: number, cosA: number, sinA: number): void {
  const omega = 2 * Math.PI * hz;
  for (let i = 0; i < deviationA.length; i++) {
    const angle = omega * timeS[i];
    deviationA[i] -= cosA * Math.cos(angle) + sinA * Math.sin(angle);
  }
}
