import { mean } from '../../../stats.ts';
import type { Chopped } from '../../results.ts';
import type { MotorEvent, PressReading } from '../codes.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { PressContext } from './press-details.ts';
import type { Press } from '../presses/presses.ts';
import type { Wire } from '../wire/wire.ts';
import { dutyOf } from '../wire/chopping.ts';
import { EDGE } from '../signal/levels.ts';
import { CLAMP_FOLLOWS_S, LEVEL_S } from '../time-scales.ts';

/** Spikes, cut-outs and reversals of one press. */
export function eventsOf(actuation: PressReading, press: Press, before: { actuation: PressReading; press: Press } | undefined, { wire, trace, recordedA }: Pick<PressContext, 'wire' | 'trace' | 'recordedA'>): MotorEvent[] {
  const { timeS } = trace;
  const events: MotorEvent[] = [];
  if (before !== undefined && before.press.sign !== press.sign && actuation.start_s - before.actuation.end_s <= CLAMP_FOLLOWS_S) {
    events.push({ code: 'reversal', atS: actuation.start_s, sizeA: lastLevel(before.actuation) });
  }
  for (const index of wire.spikes) {
    const isInPress = index >= press.startIndex && index < press.endIndex && timeS[index] - timeS[press.startIndex] > LEVEL_S;
    if (isInPress && !mayBeBounce(recordedA, index)) events.push({ code: 'spike', atS: timeS[index], sizeA: Math.abs(recordedA[index]) });
  }
  for (const stall of actuation.stalls) if (stall.cut_out === true) events.push({ code: 'cut-out', atS: stall.end_s, sizeA: stall.level_a });
  return events;
}

/** Between nothing and the readings beside it lies what a contact leaves that opened for a period of the logger: that the motor's current did make. */
function mayBeBounce(recordedA: Float32Array, index: number): boolean {
  const share = (2 * recordedA[index]) / (recordedA[index - 1] + recordedA[index + 1]);
  return share > -EDGE.to && share < 1;
}

function lastLevel({ run, stalls, end_s: endS }: PressReading): number | null {
  const stall = stalls.at(-1);
  return stall !== undefined && (run === null || stall.end_s > run.end_s || endS - stall.end_s < CLAMP_FOLLOWS_S) ? stall.level_a : (run?.median_a ?? null);
}

/** How a chopped supply fed one press. */
export function choppedOf(press: Press, wire: Wire, { deviationA }: Baseline): Chopped | null {
  const { chopping, choppedSizes } = wire;
  if (chopping === null || choppedSizes === null) return null;
  const quarter = (press.endIndex - press.startIndex) >> 2;
  const from = Math.max(press.startIndex + quarter, chopping.part?.startIndex ?? 0);
  const to = Math.min(Math.max(press.startIndex + quarter + 1, press.endIndex - (quarter >> 1)), chopping.part?.endIndex ?? Infinity);
  if (to <= from) return null;
  const duty = dutyOf(choppedSizes, from, to);
  return duty === null ? null : { frequency_hz: chopping.frequencyHz, duty, mean_a: Math.abs(mean(deviationA.subarray(from, to))) };
}
