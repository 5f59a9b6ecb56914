import type { MotorProblem, PressReading } from '../codes.ts';
import type { AcCoupling } from '../sensor/ac-coupling.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { Wire } from '../wire/wire.ts';

interface WireFacts {
  readonly coupling: AcCoupling | null;
  readonly zeroedUnderCurrent: boolean;
  /** presses whose volts are those of another point */
  readonly elsewhere: number;
  /** stretches in which the volts show a load that the clamp does not */
  readonly unseen: number;
  readonly backgroundA: number;
  readonly wire: Wire;
  readonly actuations: readonly PressReading[];
  readonly sampling: Sampling;
}

/** What is odd about the sensor's coupling, its place and what else is on the wire. */
export function wireProblems({ coupling, zeroedUnderCurrent, elsewhere, unseen, backgroundA, wire, actuations, sampling }: WireFacts): MotorProblem[] {
  const problems: MotorProblem[] = [];
  if (coupling !== null) problems.push({ code: 'ac-coupled', timeConstantS: coupling.timeConstantS });
  if (zeroedUnderCurrent) problems.push({ code: 'zeroed-under-current', restsAtA: null });
  if (elsewhere > 0) problems.push({ code: 'voltage-elsewhere', times: elsewhere });
  if (unseen > 0) problems.push({ code: 'clamp-off', times: unseen });
  if (backgroundA !== 0) problems.push({ code: 'background', levelA: Math.abs(backgroundA) });
  if (wire.chopping !== null && wire.chopping.part === null) problems.push({ code: 'chopped', frequencyHz: wire.chopping.frequencyHz });
  const narrow = actuations.find(({ inrush }) => inrush?.narrow_peak === true)?.inrush ?? null;
  if (narrow !== null) problems.push({ code: 'peak-band', rateHz: sampling.rateHz, lowPeakA: narrow.low_peak_a ?? narrow.peak_a, highPeakA: narrow.high_peak_a ?? narrow.peak_a });
  return problems;
}
