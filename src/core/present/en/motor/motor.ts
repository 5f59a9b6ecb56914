import type { StopPlaces, Unjudged } from '../../../analysis/motor/codes.ts';
import type { Direction } from '../../../analysis/results.ts';
import { atMost, decimal, formatCurrent, formatCurrentBounds, formatDuration, plain, significant } from '../locale.ts';
import type { MotorWords } from '../../texts/motor-words.ts';
import { sentence } from '../../texts/sentences.ts';
import { motorChecks } from './checks.ts';
import { motorProblems } from './problems.ts';

const at = (timeS: number): string => `${decimal(timeS, 2)} s`;
const atLeast = (yes: boolean): string => (yes ? 'at least ' : '');
const percent = (share: number): string => `${Math.round(share * 100)} %`;
const presses = (count: number): string => (count === 1 ? '1 press' : `${count} presses`);
const band = (low: number, high: number): string => `(${significant(low, 3)} to ${significant(high, 3)})`;
const way = (direction: Direction): string => (direction === 'forward' ? 'forward' : 'in reverse');
const way1 = (direction: Direction): string => (direction === 'forward' ? 'Forward' : 'Reverse');
const other = (direction: Direction): Direction => (direction === 'forward' ? 'reverse' : 'forward');
const feed = (place: 'motor' | 'battery' | null): string => (place === 'battery' ? 'at the battery' : 'at the motor\'s feed');
/** three figures, no zeros behind: 1.5, 6, 0.823 */
const round = (value: number): string => atMost(value, 3);
/** one figure where both ends read the same */
const range = (low: string, high: string): string => (low === high ? low : `${low} to ${high}`);

function unjudgedBecause(why: Unjudged): string {
  if (why.reason === 'no-stall-current') return 'the switch-on does not show the stall current';
  if (why.reason === 'unsteady') return `the running current scatters by ${significant(why.share * 100, 2)} % about its level, which may hide a bad bar`;
  return `at ${percent(why.share)} of its estimated stall current the load is neither usual nor clearly wrong`;
}

const LOAD_IS = {
  'hardly-any': 'hardly any load. If it should be moving something, watch whether it does.',
  usual: 'a usual load.',
  hard: 'hard work. Suspect a tight mechanism, a dragging brake or an undersized motor.',
} as const;

const because: MotorWords['because'] = {
  'all-cut': ({ presses: count }) => count === 1 ? 'The only press is not recorded from start to finish: what came before or after is not known.' : `None of the ${count} presses is recorded from start to finish: what came before or after is not known.`,
  'some-cut': ({ presses: count, atS, end }) =>
    count > 1 ? 'The first and the last press are not complete and do not count.' : `The press at ${at(atS)} does not count: ${end === 'start' ? 'its start' : 'its end'} is missing.`,
  dead: ({ presses: count, topV }) => `In ${presses(count)} the feed came up to ${significant(topV, 3)} V and no current flowed.`,
  unpowered: () => 'No voltage and no current: the feed never came up.',
  problem: ({ problem }) => sentence(motorProblems, problem),
  'no-current': ({ topV }) =>
    topV === null ? 'No current flowed. Without a voltage channel the recording does not show whether the switch closed.' : `No current flowed. The voltage was ${significant(topV, 3)} V, but at this point it does not show whether the switch closed.`,
  'hidden-by-range': ({ levelA }) => `Every press reads ${formatCurrent(levelA)}, the end of the sensor's range, from start to finish: running and stalled look the same there.`,
  'sharp-edge': () => 'The current is there at once and stays level. At this rate a stalled motor and a heater look the same.',
  'one-level': () => 'The recording holds no switch-on and no second level, so running and stalled look the same.',
  'stands-or-turns': ({ atS }) => `In the press at ${at(atS)} the current stays at one level: the motor may have stood still, or turned on a supply that soft-starts it or limits its current.`,
  'low-feed': ({ atS, feedV, place, ran }) => `At ${at(atS)} only ${significant(feedV, 3)} V were left ${feed(place)} ${ran ? 'while it ran' : 'under load'}: too little to judge the motor.`,
  'sagging-feed': ({ atS, place, openV, loadV, startV, sourceOhm, lowOhm, highOhm }) =>
    `At ${at(atS)} the voltage dropped from ${significant(openV, 3)} V to ${significant(loadV, 3)} V under load${startV === null ? '' : `, to ${significant(startV, 3)} V at switch-on`}: ${place === 'battery' ? 'the battery and its posts have' : 'the feed has'} ${significant(sourceOhm, 2)} ohm (${significant(lowOhm, 2)} to ${significant(highOhm, 2)}).`,
  'flat-battery': ({ restV, fromV }) => `Between presses the battery is at ${significant(restV, 3)} V: below ${significant(fromV, 3)} V it is a quarter charged or less. Charge and test it first.`,
  'low-run-volts': ({ atS, feedV, fromV }) => `In the press at ${at(atS)} the motor ran on ${significant(feedV, 3)} V at its feed; most equipment is made for ${significant(fromV, 3)} V and more. Check battery, feed and ground first.`,
  'feed-warms': ({ atS, fromOhm, toOhm }) => `In the press at ${at(atS)} the feed's resistance grew from ${significant(fromOhm, 2)} to ${significant(toOhm, 2)} ohm while current flowed: a joint or a wire is heating up. Measure the voltage drop section by section.`,
  stall: ({ fromS, levelA, atLeast: least, lastedS, run, stalls }) =>
    `Stalled from ${at(fromS)}: ${atLeast(least)}${formatCurrent(levelA)} for ${formatDuration(lastedS)}, power on and no motion${run === null ? '' : `; it ran at ${atLeast(run.atLeast)}${formatCurrent(run.levelA)}`}${stalls > 1 ? ` (${stalls} stalls in this press)` : ''}.`,
  'cut-out': ({ atS, times, shortestS, longestS }) =>
    `At ${at(atS)}${times === 1 ? '' : times === 2 ? ' and once more' : ` and ${times - 1} more times`} current stopped while voltage stayed on: the motor's own cut-out opened, ${range(formatDuration(shortestS), formatDuration(longestS))} into the stall.`,
  'stall-against-estimate': ({ atS, estimateA, lowA, highA, stallA, stallIs }) => {
    const estimate = `Estimated stall current ${significant(estimateA, 3)} A ${band(lowA, highA)}, from the switch-on at ${at(atS)}`;
    if (stallIs === 'as-estimated') return `${estimate}: the stall agrees.`;
    return `${estimate}; the stall drew ${formatCurrent(stallA)}. ${stallIs === 'more' ? 'Look for a second load on this wire, or a damaged winding.' : 'It may have been creeping, or feed and winding warmed up.'}`;
  },
  load: ({ share, loadIs, isMotor }) => (isMotor ? `It runs at ${percent(share)} of its estimated stall current: ${LOAD_IS[loadIs]}` : `A motor with this switch-on would run at ${percent(share)} of its stall current: ${LOAD_IS[loadIs]}`),
  jam: ({ atS, changeA }) => `At ${at(atS)} the current rose by ${formatCurrent(changeA)} and stayed up to the end: as if one of several motors on this wire had jammed.`,
  'lost-load': ({ atS, leftA }) => `At ${at(atS)} the current fell to ${formatCurrent(leftA)} and stayed there while the motor kept turning: it no longer drives anything. Look for a broken gear, a sheared pin or a slipping clutch.`,
  beat: ({ periodS, depthA, lowA, highA }) => `Every ${formatDuration(periodS)} the current rises and falls by ${formatCurrentBounds(depthA, lowA, highA)}: a tight spot once per turn of the shaft or a gear.`,
  winding: ({ volts, levelA, ohm }) => `Stalled, ${significant(volts, 3)} V at the motor drove ${formatCurrent(levelA)}: ${significant(ohm, 2)} ohm of winding and brushes. Compare with the maker's figure or with the same motor on the other side.`,
  locked: ({ atS, levelA, atLeast: least, lastedS }) => `At ${at(atS)} the current went straight to ${atLeast(least)}${formatCurrent(levelA)} and stayed there for ${formatDuration(lastedS)}. It never fell to a running level, so the motor never turned.`,
  'lost-contact': ({ atS, times, longestS }) =>
    times === 1 ? `In the press at ${at(atS)} contact was lost once, for ${formatDuration(longestS)}, with the switch held.` : `In the press at ${at(atS)} contact was lost ${times} times, for up to ${formatDuration(longestS)}, with the switch held.`,
  'bad-segment': ({ revolutions, depthA, lowA, highA, share, presses: count }) =>
    `Averaged over ${revolutions} turns, one commutator bar draws ${formatCurrentBounds(depthA, lowA, highA)} less than its neighbours, ${significant(share * 100, 2)} % of the running current${count > 1 ? ` (seen in ${count} presses)` : ''}: a burnt or high bar, or a coil that has come off it.`,
  'off-limits': ({ atS, levelA, atLeast: least, limitsA }) => `The press at ${at(atS)} ran at ${atLeast(least)}${formatCurrent(levelA)}; usual here is ${limitsA[0]} to ${limitsA[1]} A.`,
  ran: ({ presses: count, lowA, highA, limitsA, isMotor }) => {
    const level = `${range(formatCurrent(lowA), formatCurrent(highA))}${limitsA === null ? '' : ` (usual ${limitsA[0]} to ${limitsA[1]} A)`}`;
    return isMotor ? `In ${presses(count)} the motor started, ran at ${level} and was still turning at switch-off.` : `In ${presses(count)} the current settled at ${level} and flowed until switch-off.`;
  },
  started: ({ presses: count, isMotor }) => (isMotor ? `In ${presses(count)} the motor started, but none lasted long enough to read the running current.` : `In ${presses(count)} current flowed, but none lasted long enough to read its level.`),
  unjudged: (why) => `Nothing here to judge it by: no usual running current was entered, and ${unjudgedBecause(why)}.`,
  'one-way-harder': ({ harder, ratio }) => `${way1(harder)} draws ${significant(ratio, 3)} times the current of ${other(harder)}.`,
  'one-way-farther': ({ farther, ratio, low, high }) =>
    `Counted by its ripple it turned ${significant(ratio, 3)} times as far ${way(farther)} as ${way(other(farther))} ${band(low, high)}: it did not return to where it started, or it slips one way.`,
  travel: ({ ways }) => `Under power it made ${ways.map(({ direction, turns, low, high }) => `${significant(turns, 3)} turns ${way(direction)} ${band(low, high)}`).join(' and ')} per press.`,
  'stop-places': ({ ways }) => ways.map(stopPlaces).join(' '),
  'wire-behind-lead': () => 'The voltage lead is at the battery, so the wire you entered is beyond it and cannot be judged. Put the lead at the motor\'s feed.',
  wire: ({ lengthM, areaMm2, temperatureC, share, sourceOhm, exceeds, restV }) => {
    const size = `${round(lengthM)} m of ${round(areaMm2)} mm² at ${Math.round(temperatureC)} °C`;
    const [low, high] = [percent(share.low_share), share.high_share === null ? 'all' : percent(share.high_share)];
    const loss = `${significant(share.wire_ohm * 1000, 2)} of the feed's ${significant(sourceOhm * 1000, 2)} milliohm (${percent(share.share)}${low === high ? '' : `; ${low} to ${high}`})`;
    if (exceeds) return `${size} alone would have more resistance than was measured: ${loss}. Part of that wire is beyond the voltage lead, or the wire is not as entered.`;
    return `${size} accounts for ${loss}: ${significant(share.drop_v, 2)} V of the ${significant(share.sag_v, 2)} V lost${restV === null ? '' : `; the other ${significant(restV, 2)} V are lost in contacts, the rest of the loop and the battery`}.`;
  },
  fuse: ({ atLeast: least, fuse }) => {
    const head = `The highest sustained current is ${atLeast(least)}${percent(fuse.share)} of the ${plain(fuse.rating_a)} A fuse`;
    if (fuse.holds_s !== null && fuse.opens_s === null) return `${head}: it holds that for ${Math.round(fuse.holds_s / 3600)} hours and more.`;
    const lasted = `${head}, for ${formatDuration(fuse.lasted_s)}`;
    if (fuse.holds_s === null || fuse.opens_s === null) return `${lasted}.`;
    return `${lasted}. At that current such a fuse opens somewhere between ${formatDuration(fuse.holds_s)} and ${formatDuration(fuse.opens_s)}: a fuse that held proves nothing, and one that opened need not be bad.`;
  },
};

function stopPlaces({ direction, presses: count, placeIs, unit, mean, low, high }: StopPlaces): string {
  const start = `${way1(direction)}, ${count} presses stalled at`;
  if (placeIs === 'same') return `${start} the same point each time, after ${significant(mean, 3)} ${unit}: its end of travel, or something that sits there.`;
  return `${start} different points, after ${significant(low, 3)} to ${significant(high, 3)} ${unit}: not its end of travel. Suspect grit, a loose part or a tired motor.`;
}

export const motor: MotorWords = {
  because,
  next: motorChecks,
  problems: motorProblems,
  load: {
    ripple: 'The current shows commutator ripple.',
    'run-up': 'The current falls from its peak as in a motor gaining speed, and stays uneven.',
    'no-rotor': 'The current drops from its peak faster than any motor spins up.',
    filament: 'The current starts many times higher and drops within a fraction of a second, fastest at first: a filament heating up.',
    'warms-up': 'The current falls over seconds without any ripple: a heater warming up.',
    'no-rise': 'The current is there at once, without the slow rise of a coil, and stays level: a resistance.',
    'sharp-edge': 'The current is there at once and stays level: a resistance, or a winding too quick for this logger.',
    pulsed: 'The supply is chopped, and the mean of its pulses shows neither a run-up nor a ripple.',
    'slow-edge': 'The current comes up slowly to one level: a large coil, a soft start, or a motor taking up play.',
    'stays-warm': 'The level falls from press to press and regains nothing in between, as in a winding that warms up.',
    winding: 'The current comes up as in a winding and stays level.',
    'slow-rise': 'The current rises slowly to one level, as in a large coil.',
    plunger: 'The current rises slowly and dips as the plunger moves.',
    'switches-over': 'The current rises as slowly as in a coil, and then a part of it goes at once: the plunger has closed a contact.',
    'stands-by-design': 'It moves for some tens of milliseconds, then stalls until the pulse ends, in every press.',
    cranks: 'The current is that of a starter turning an engine.',
    mixed: 'The presses show different loads.',
    'too-little': 'The current does not show what kind of load it is.',
  },
  events: {
    reversal: ({ sizeA }) => `Reversed without a pause${sizeA === null ? '' : `, from ${formatCurrent(sizeA)}`}.`,
    slip: () => 'The drive slipped: current dropped at once and the motor kept turning.',
    'cut-out': ({ sizeA }) => `The motor's own cut-out opened${sizeA === null ? '' : ` at ${formatCurrent(sizeA)}`}.`,
    plunger: () => 'The plunger moved.',
    step: ({ sizeA }) => `The current stepped ${(sizeA ?? 0) < 0 ? 'down' : 'up'} by ${formatCurrent(Math.abs(sizeA ?? 0))}: something on this wire switched.`,
    spike: ({ sizeA }) => `A single reading of ${formatCurrent(sizeA ?? 0)}: interference.`,
  },
  noFit: {
    'no-motor': () => 'This is not a motor.',
    'beyond-range': () => 'The peak is beyond the end of the sensor\'s range.',
    'still-turning': () => 'The motor was still turning when the switch closed.',
    'too-short': () => 'The press was too short to show the running level.',
    'samples-missing': () => 'Readings are missing from the switch-on.',
    'small-fall': () => 'The current does not fall far enough within the press.',
    'few-samples': ({ samples }) => `The fall from peak to run takes only ${samples} ${samples === 1 ? 'reading' : 'readings'}: record faster.`,
    'other-shape': () => 'The fall from peak to run is not that of a motor starting under a steady load.',
    'above-other-presses': () => 'The estimated stall current is higher than in the other presses: the motor was still coasting when the switch closed.',
  },
};
