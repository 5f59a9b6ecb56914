import type { Problem } from '../../../problems.ts';
import { median } from '../../../stats.ts';
import { formatCurrent, formatDuration, significant } from '../../../units.ts';
import type { Actuation } from '../../results.ts';
import { bandwidthOf } from '../sensor/clamp-speed.ts';
import type { ExtrasContext } from './press-details.ts';
import type { LeadPlace } from '../wire/feed-voltage.ts';
import type { Press } from '../presses/presses.ts';
import { SUPPLY } from '../settings.ts';

/** What shows only once the presses were read: that the sensor was too small, too slow or turned round, or the voltage not a vehicle's. */
export function readingProblems(actuations: readonly Actuation[], presses: readonly Press[], place: LeadPlace, topV: number, context: ExtrasContext): Problem[] {
  const problems: Problem[] = [];
  const add = (problem: Problem | null): void => {
    if (problem !== null) problems.push(problem);
  };
  add(clipped(actuations, context.clipA, place));
  add(slow(actuations, context));
  add(reversed(presses, place, context));
  // at the motor the feed shows itself only under load: what it would be without counts
  add(oddVoltage(actuations.reduce((most, { supply }) => Math.max(most, supply?.open_v ?? 0), topV)));
  add(noisy(actuations, context));
  return problems;
}

function clipped(actuations: readonly Actuation[], clipA: number | null, place: LeadPlace): Problem | null {
  if (clipA === null) return null;
  const peaks = actuations.filter(({ inrush }) => inrush?.peak_at_least === true).length;
  const runs = actuations.filter(({ run }) => run?.at_least === true).length;
  const stalls = actuations.filter((actuation) => actuation.stalls.some((stall) => stall.at_least === true)).length;
  const parts = [peaks > 0 ? `${peaks} switch-on ${peaks === 1 ? 'peak' : 'peaks'}` : '', runs > 0 ? 'running levels' : '', stalls > 0 ? 'stall levels' : ''].filter((part) => part !== '');
  const what = parts.length === 0 ? 'single readings' : parts.length === 1 ? parts[0] : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
  const feedless = place !== null && actuations.some(({ supply, inrush, stalls }) => supply === null && (inrush?.peak_at_least === true || stalls.some((stall) => stall.at_least === true)));
  const feed = feedless ? ' What is left below it does not show the feed\'s resistance.' : '';
  return { code: 'clipped', text: `Readings stand at ${formatCurrent(clipA)}, the end of the sensor's range: ${what} are at least that, and how much more is not in the trace.${feed} Use a larger range.` };
}

function slow(actuations: readonly Actuation[], context: ExtrasContext): Problem | null {
  const bounded = actuations.filter(({ inrush }) => inrush?.low_peak_a !== undefined && inrush.peak_at_least !== true);
  if (bounded.length === 0) return null;
  const { followS, known } = context.clamp;
  const bandwidth = `${significant(bandwidthOf(context.clamp), 2)} Hz`;
  const first = bounded[0].inrush;
  const band = typeof first?.high_peak_a === 'number' ? `between ${formatCurrent(first.low_peak_a ?? 0)} and ${formatCurrent(first.high_peak_a)}` : `at least ${formatCurrent(first?.low_peak_a ?? 0)}`;
  const why = known ? `A sensor of ${bandwidth} takes` : 'At the switch-off the reading takes';
  const doubt = known ? '' : `, as a sensor of ${bandwidth} would (or a diode across the motor)`;
  return { code: 'slow-sensor', text: `${why} ${formatDuration(followS)} to follow${doubt}: the switch-on peak was rounded off and lies ${band}. Use a faster clamp or a shunt for the peak; levels are not touched.` };
}

/** Across the motor, volts and amps have the same sign; against each other in every press, clamp or lead is turned round. */
function reversed(presses: readonly Press[], place: LeadPlace, { trace }: ExtrasContext): Problem | null {
  if (place !== 'motor' || trace.voltageV === null || presses.length === 0) return null;
  for (const press of presses) {
    const volts = median(trace.voltageV.subarray(press.startIndex, press.endIndex)) * press.sign;
    if (volts > -SUPPLY.deadV) return null;
  }
  return { code: 'reversed-clamp', text: 'In every press the current flows against the voltage: the clamp sits the wrong way round, or the two voltage leads are swapped. Directions are told by the clamp.' };
}

/** V; ISO 16750-2 table 1 and 2: 12 V equipment lives between 9 (code C) and 16 V, 24 V equipment below 32 V */
const LOWEST_V = 9;
const HIGHEST_V = 32;

function oddVoltage(topV: number): Problem | null {
  if (topV > HIGHEST_V) return { code: 'implausible-voltage', text: `The voltage reads up to ${significant(topV, 3)} V, more than a 12 V or 24 V vehicle has: check the unit of the voltage column and the divider of the channel.` };
  if (topV >= SUPPLY.deadV && topV < LOWEST_V) return { code: 'implausible-voltage', text: `The voltage never rises above ${significant(topV, 3)} V, less than a 12 V vehicle runs on: check the lead's contact, the channel's scale and the battery before anything else is judged.` };
  return null;
}

/** noise over running level from which ripple and small changes are lost */
const MOST_NOISE = 0.1;

function noisy(actuations: readonly Actuation[], { baseline }: ExtrasContext): Problem | null {
  const runs = actuations.flatMap(({ run }) => (run === null ? [] : [run.median_a]));
  if (runs.length === 0) return null;
  const share = baseline.noiseA / median(runs);
  return share > MOST_NOISE ? { code: 'noise', text: `The clamp's noise is ${Math.round(share * 100)} % of the running current: ripple and small changes are lost in it. Use a smaller range, or lay the wire through the clamp several times.` } : null;
}
