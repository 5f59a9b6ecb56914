import type { Problem } from '../../../problems.ts';
import type { Actuation } from '../../results.ts';
import { formatCurrent, formatDuration, significant } from '../../../units.ts';
import type { AcCoupling } from '../sensor/ac-coupling.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { Wire } from '../wire/wire.ts';

interface WireFacts {
  readonly coupling: AcCoupling | null;
  /** stretches in which the volts show a load that the clamp does not */
  readonly unseen: number;
  readonly backgroundA: number;
  readonly wire: Wire;
  readonly actuations: readonly Actuation[];
  readonly sampling: Sampling;
}

/** What is odd about the sensor's coupling, its place and what else is on the wire. */
export function wireProblems({ coupling, unseen, backgroundA, wire, actuations, sampling }: WireFacts): Problem[] {
  const problems: Problem[] = [];
  if (coupling !== null) problems.push({ code: 'ac-coupled', text: `A steady current sinks towards zero within ${formatDuration(coupling.timeConstantS)} and swings past it afterwards: this clamp reads alternating current only. Levels say nothing; use a clamp or shunt for direct current.` });
  if (unseen > 0) problems.push({ code: 'clamp-off', text: `${unseen === 1 ? 'Once' : `${unseen} times`} the voltage sagged as if a load drew current, and the clamp showed none: check that it is closed round one wire of this circuit only.` });
  if (backgroundA !== 0) problems.push({ code: 'background', text: `${formatCurrent(Math.abs(backgroundA))} flow before and after every press: another load is on this wire, and was subtracted.` });
  if (wire.chopping !== null) {
    const { frequencyHz } = wire.chopping;
    problems.push({ code: 'chopped', text: `The supply is switched on and off${frequencyHz === null ? '' : ` ${significant(frequencyHz, 3)} times a second`}, as a control module does: currents are means, and no speed can be read.` });
  }
  const narrow = actuations.find(({ inrush }) => inrush?.narrow_peak === true)?.inrush;
  if (narrow !== undefined && narrow !== null) problems.push({ code: 'peak-band', text: `At ${significant(sampling.rateHz, 3)} readings a second the inrush peak is too narrow to be read: it lies between ${formatCurrent(narrow.low_peak_a ?? narrow.peak_a)} and ${formatCurrent(narrow.high_peak_a ?? narrow.peak_a)}. Record faster for the peak.` });
  return problems;
}
