import { analyseActuation } from '../analyse.ts';
import { compareActuation, compareDrain } from '../../src/core/present/documents/document-compare.ts';
import { createLiveDrain } from '../../src/core/present/documents/document-night.ts';
import type { DrainResult } from '../../src/core/analysis/results.ts';
import { draw, noise, press } from '../core/analysis/motor/traces.ts';
import { nightBlocks } from './night-blocks.ts';
import { bestTimeS, judged, type BenchRow } from './row.ts';

const LENGTHS = [1, 10, 100] as const;
/** A press every ten seconds at 2 kS/s: the shortest trace has four, the longest four hundred. */
const MOTOR_RATE_HZ = 2000;
const MOTOR_S = 40;
const PRESS_EVERY_S = 10;
/** The shortest night is long enough to fall asleep in (20 min awake), at this rate. */
const NIGHT_S = 2700;
const NIGHT_WAKES_EVERY_S = 600;
/** Presses and wake-ups of the shortest traces compared. */
const COMPARED = 24;
/** A short run is repeated for so long, s, or its time is that of the clock's steps. */
const REPEAT_S = 0.3;
const MOST_REPEATS = 20;

/** How cost grows with length: 1, 10 and 100 times as much, as the exponent of a power fitted to the three times. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const motorS = LENGTHS.map((length) => {
    const trace = presses((quick ? 0.25 : 1) * MOTOR_S * length);
    return timeOf(() => void analyseActuation(trace, {}));
  });
  const nightS = LENGTHS.map((length) => timeOf(() => void night(NIGHT_S * length, quick ? 20 : 100)));
  return [
    row('motor test', motorS, '1, 10 and 100 times the length'),
    row('key-off test', nightS, '1, 10 and 100 times the length'),
    row('compare of two motor tests', compareMotorS(), '24, 240 and 2400 presses each'),
    row('compare of two key-off tests', compareNightS(), '24, 240 and 2400 wake-ups each'),
  ];
}

/** From the number on at which bounds are resampled: below it another, cheaper method serves. */
function compareMotorS(): number[] {
  const one = analyseActuation(presses(COMPARED * PRESS_EVERY_S), {});
  return LENGTHS.map((length) => {
    const long = { ...one, actuations: repeated(one.actuations, length) };
    return timeOf(() => void compareActuation(long, long));
  });
}

function compareNightS(): number[] {
  const one = night(NIGHT_S + (COMPARED + 1) * NIGHT_WAKES_EVERY_S, 20);
  return LENGTHS.map((length) => {
    const long = { ...one, wakeups: repeated(one.wakeups.slice(0, COMPARED), length) };
    return timeOf(() => void compareDrain(long, long));
  });
}

function repeated<T>(list: readonly T[], times: number): T[] {
  return Array.from({ length: times }, () => list).flat();
}

function row(what: string, timesS: readonly number[], anchor: string): BenchRow {
  const reported = timesS.map((timeS) => `${Number((timeS * 1000).toPrecision(2))} ms`).join(', ');
  return judged({ name: `growth of the ${what} (${reported})`, value: exponent(LENGTHS, timesS), unit: 'exponent', anchor }, '<=', 1.1);
}

/** Slope of the least-squares line through the logarithms. */
function exponent(lengths: readonly number[], timesS: readonly number[]): number {
  const x = lengths.map(Math.log);
  const y = timesS.map(Math.log);
  const mean = (of: readonly number[]): number => of.reduce((sum, one) => sum + one, 0) / of.length;
  const meanX = mean(x);
  const meanY = mean(y);
  return x.reduce((sum, one, i) => sum + (one - meanX) * (y[i]! - meanY), 0) / x.reduce((sum, one) => sum + (one - meanX) ** 2, 0);
}

/** Best time, with the first run left out where there are more: it also compiles. */
function timeOf(run: () => void): number {
  const firstS = bestTimeS(1, run);
  const repeats = Math.min(MOST_REPEATS, Math.floor(REPEAT_S / firstS));
  return repeats === 0 ? firstS : bestTimeS(repeats, run);
}

function presses(durationS: number): Parameters<typeof analyseActuation>[0] {
  const n = noise(0.03);
  return draw(MOTOR_RATE_HZ, durationS, (atS) => press(atS % PRESS_EVERY_S, 1, 6, 18, 4) + n(), (atS) => 12.5 - 0.05 * press(atS % PRESS_EVERY_S, 1, 6, 18, 4));
}

function night(durationS: number, rateHz: number): DrainResult {
  const live = createLiveDrain({});
  for (const block of nightBlocks(durationS * rateHz, rateHz)) live.push(block);
  return live.result();
}
