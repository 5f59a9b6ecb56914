import type { LabelledTrace, TruePress } from '../actuation/labels.ts';
import { makeCase } from './make.ts';

/** A case of the second generator in the words the score is kept in. */
export function labelledCase(seed: number): LabelledTrace {
  const made = makeCase(seed);
  const presses = made.truth.presses.map((press): TruePress => ({
    startS: press.startS,
    endS: press.endS,
    direction: press.side > 0 ? 'forward' : 'reverse',
    finding: press.finding,
    peakA: press.peakA !== null && press.run !== null && press.peakA > 1.25 * (press.run.medianA ?? 0) ? press.peakA : null,
    runA: press.run?.medianA ?? null,
    stalls: press.stalls,
    dropouts: press.dropouts,
    commutationHz: press.ripple?.hz ?? null,
    rippleHz: press.ripple === null || press.ripple.seen === 'perhaps' ? 'borderline' : press.ripple.seen === 'yes' ? press.ripple.hz : null,
  }));
  return {
    name: made.about.split(' ')[0],
    about: made.about,
    seed,
    trace: made.trace,
    options: made.limitsA === null ? {} : { runLimitsA: made.limitsA },
    finding: made.truth.verdict,
    presses,
    voltageAt: made.voltageAt,
    sourceOhm: made.truth.sourceOhm,
  };
}
