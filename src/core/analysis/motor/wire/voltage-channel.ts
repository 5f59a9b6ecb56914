import { median } from '../../../stats.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';
import { EDGE } from '../signal/levels.ts';
import { FEWEST } from '../signal/decision-levels.ts';

/** Median of the volts of `[from, to)`, V. */
export function usualVolts(voltageV: Float32Array, from: number, to: number): number {
  const stride = Math.max(1, Math.ceil((to - from) / (ENOUGH_READINGS >> 2)));
  return median(new Float64Array(Math.ceil((to - from) / stride)).map((_value, r) => voltageV[from + r * stride]));
}

/** The volts below which the contact is open, V. */
export function contactVolts(press: Press, voltageV: Float32Array): number {
  return Math.abs(usualVolts(voltageV, press.startIndex, press.endIndex)) / 2;
}

/**
 * How long the voltage channel takes to follow, s, by how the volts come up at the motor, where the switch makes a step of them: 1.7 of its time
 * constants (EDGE), so that what waits for some of these waits long enough. 0 where no sample shows them on the way. A contact that bounces makes it longer.
 */
export function channelLag(press: Press, voltageV: Float32Array, contactV: number, risenIndex: number, sampling: Sampling): number {
  let lowestV = Infinity;
  for (let i = risenIndex; i < press.endIndex; i++) {
    const sizeV = Math.abs(voltageV[i]);
    if (sizeV > contactV && sizeV < lowestV) lowestV = sizeV;
  }
  // the current, and with it the press, may be seen some samples after the volts
  let from = Math.max(0, press.startIndex - FEWEST);
  while (from < press.endIndex && Math.abs(voltageV[from]) < (1 - EDGE.from) * lowestV) from++;
  let to = from;
  while (to < press.endIndex && Math.abs(voltageV[to]) < (1 - EDGE.to) * lowestV) to++;
  return (to - from) * sampling.periodS;
}

interface Volts {
  readonly press: Press;
  readonly voltageV: Float32Array;
  readonly sampling: Sampling;
  readonly contactV: number;
}

/**
 * Volts of `[from, to)` without their sign, behind a first-order low-pass of `lagS`, by that filter's exact answer to a straight line between
 * two samples. A contact that bounces takes the volts off the motor but not off the source, and no current flows: for those samples
 * `openV`, the source's own voltage, counts where it is known.
 *
 * @param slowed takes the answer from its beginning on: one lag after the other is tried in the same memory
 */
export function slowVoltage({ press, voltageV, sampling, contactV }: Volts, from: number, to: number, lagS: number, openV: number | null, slowed: Float64Array): void {
  for (let j = from; j < to; j++) {
    const sizeV = Math.abs(voltageV[j]);
    slowed[j - from] = openV !== null && j >= press.startIndex && sizeV < contactV ? openV : sizeV;
  }
  if (lagS === 0) return;
  const ratio = sampling.periodS / lagS;
  const keep = Math.exp(-ratio);
  const behind = (1 - keep) / ratio;
  // no current flows yet at the switch, so it is the open-circuit voltage that the slowed channel starts from
  let lastV = openV ?? Math.abs(voltageV[from] ?? 0);
  let slowV = lastV;
  let hole = sampling.holes.findIndex((index) => index >= from);
  if (hole < 0) hole = sampling.holes.length;
  for (let j = from; j < to; j++) {
    const nowV = slowed[j - from];
    const isAfterHole = sampling.holes[hole] === j;
    if (isAfterHole) hole++;
    slowV = isAfterHole ? nowV : nowV - (nowV - lastV) * behind + (slowV - lastV) * keep;
    slowed[j - from] = slowV;
    lastV = nowV;
  }
}
