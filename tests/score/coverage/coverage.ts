import { analyseActuation, analyseDrain } from '../../analyse.ts';
import type { Actuation } from '../../../src/core/analysis/results.ts';
import { halfWidthOf } from '../../../src/core/analysis/uncertainty/parts.ts';
import { chanceFrom } from '../second-drain/chance.ts';
import { Held } from './held.ts';
import { meanFlow, middleFlow, recordCircuit, solveCircuit, startOf, type Circuit } from './motor.ts';
import { parkNight } from './night.ts';

export const FIGURES = ['run', 'stall', 'inrush peak', 'charge', 'I2t', 'source resistance', 'run ratio', 'sleep level', 'pull change'] as const;
export type CoveredFigure = (typeof FIGURES)[number];
export type Coverage = Readonly<Record<CoveredFigure, Held>>;

/** Bounds of every figure of `count` motor tests and `nights` key-off tests against what flowed, errors drawn from what is known of the sensor. */
export function coverageOf(seed: number, count: number, nights = count): Coverage {
  const coverage = Object.fromEntries(FIGURES.map((figure) => [figure, new Held()])) as unknown as Coverage;
  for (let k = 0; k < count; k++) oneMotor(seed + k, coverage);
  for (let k = 0; k < nights; k++) oneNight(seed + k, coverage);
  return coverage;
}

function oneMotor(seed: number, coverage: Coverage): void {
  const chance = chanceFrom(seed);
  const circuit = solveCircuit(chance);
  const { trace, sensor } = recordCircuit(circuit, chance);
  const { actuations, asymmetry } = analyseActuation(trace, sensor);
  for (const actuation of actuations) onePress(actuation, circuit, coverage);
  if (asymmetry?.low_run_ratio === undefined || asymmetry.high_run_ratio === undefined) return;
  coverage['run ratio'].see(circuit.runRatio, asymmetry.run_ratio, asymmetry.low_run_ratio, asymmetry.high_run_ratio);
}

/** A press of the trace belongs to the one of the circuit that began within this of it, s. */
const SAME_PRESS_S = 0.05;

function onePress({ start_s: startS, run, stalls, inrush, supply }: Actuation, circuit: Circuit, coverage: Coverage): void {
  const press = circuit.presses.find(({ onS }) => Math.abs(onS - startS) < SAME_PRESS_S);
  if (press === undefined) return;
  if (run !== null) coverage['run'].see(middleFlow(circuit, run.start_s, run.end_s), run.median_a, run.low_a, run.high_a);
  if (supply !== null) coverage['source resistance'].see(circuit.sourceOhm, supply.source_ohm, supply.low_ohm, supply.high_ohm);
  for (const stall of stalls) {
    if (stall.low_a === undefined || stall.high_a === undefined || stall.start_s < press.stopS - SAME_PRESS_S) continue;
    const quarterS = (stall.end_s - stall.start_s) / 4;
    coverage['stall'].see(meanFlow(circuit, stall.start_s + quarterS, stall.end_s - quarterS), stall.level_a, stall.low_a, stall.high_a);
  }
  if (inrush === null) return;
  const truth = startOf(circuit, press.onS, startS + inrush.settle_s);
  const halfA = halfWidthOf(inrush.uncertainty ?? []);
  coverage['inrush peak'].see(truth.peakA, inrush.peak_a, inrush.low_peak_a ?? inrush.peak_a - halfA, inrush.high_peak_a ?? inrush.peak_a + halfA);
  coverage['charge'].see(truth.chargeC, inrush.charge_c, inrush.low_charge_c ?? 0, inrush.high_charge_c ?? 0);
  coverage['I2t'].see(truth.i2tA2s, inrush.i2t_a2s, inrush.low_i2t_a2s ?? 0, inrush.high_i2t_a2s ?? 0);
}

function oneNight(seed: number, coverage: Coverage): void {
  const { trace, marks, sensor, sleepA, pulledA } = parkNight(chanceFrom(seed));
  const { asleep, pulls } = analyseDrain(trace, marks, sensor);
  if (asleep !== null) coverage['sleep level'].see(sleepA, asleep.level_a, asleep.low_a, asleep.high_a);
  for (const pull of pulls) if (pull.carries !== null) coverage['pull change'].see(-pulledA, pull.change_a, pull.low_a, pull.high_a);
}
