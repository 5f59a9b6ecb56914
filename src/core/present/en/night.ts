import { formatCurrent, formatCurrentBounds, formatDuration, listAnd, locale, significant } from './locale.ts';
import type { EndedBy } from '../../analysis/night/key-off/end.ts';
import type { TimeOut } from '../../reference/time-outs.ts';
import { formatTimeOfDay } from '../../units.ts';
import type { NightWords } from '../texts/night-words.ts';

const TIME_OUT_NAMES: Readonly<Record<string, string>> = {
  'airbag-reserve': 'the reserve of the airbag module',
  lamps: 'the courtesy lamps',
  'first-settling': 'the modules that settle in the first minutes',
  'transmission-controller': 'a transmission controller',
  'modules-cycling-down': 'modules that cycle down one after the other',
  radio: 'a radio that stays on after OFF',
  'module-time-outs': 'a module with the usual time-out',
  'awake-modules': 'modules still awake',
  longest: 'a module with the longest published time-out',
};

/** What the page and the command line call a time-out. */
function timeOutWords({ name, lengthS, source }: TimeOut): string {
  return `${TIME_OUT_NAMES[name] ?? name} (${formatDuration(lengthS)}; ${source})`;
}

const LEFT_OUT: Readonly<Record<EndedBy, string>> = {
  fed: 'current flows into the battery (charger, engine or sun)',
  'no-current': 'the clamp shows no current (it came off the wire or was zeroed with current flowing, or the battery was disconnected)',
  'battery-empty': 'the battery is empty and gives less than the vehicle would draw',
};

const fuses = (labels: readonly string[]): string => (labels.length === 1 ? `fuse ${labels[0]}` : `fuses ${listAnd(labels)}`);
const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const times = (count: number): string => (count === 1 ? 'once' : `${count} times`);
const minutes = (waitS: number): string => {
  const whole = Math.max(1, Math.ceil((waitS - 2) / 60));
  return whole === 1 ? '1 minute' : `${whole} minutes`;
};

const clock = (word: string, atMs: number | null): string => (atMs === null ? '' : `${word} ${formatTimeOfDay(atMs, locale)}`);

export const night: NightWords = {
  capacityBasis: {
    stated: 'the capacity as given (20 h rate), from full, no Peukert correction at these currents',
    reserve: 'reserve capacity times 25 A (what it gives at 25 A; more at a small drain), from full, no Peukert correction',
  },
  because: {
    'key-off': ({ atS }) => `Key-off came ${formatDuration(atS)} into the recording: before that the engine ran, a charger was on or the ignition was on.`,
    rest: ({ atS, fromStart, levelA, lowA, highA }) => `${fromStart ? 'It was settled from the start' : `It settled ${formatDuration(atS)} into the recording`}, at ${formatCurrentBounds(levelA, lowA, highA)}.`,
    average: ({ averageA, limitA, overLimit }) =>
      `The average once settled, wake-ups included, is ${formatCurrent(averageA)}: ${overLimit === null ? 'too close to call against' : overLimit ? 'over' : 'under'} the limit of ${formatCurrent(limitA)}.`,
    held: ({ levelA, lowA, highA, sinceS, limitA, elapsedS, timeOut }) =>
      `It has stayed at ${formatCurrentBounds(levelA, lowA, highA)} ${sinceS < 5 ? 'from the start' : `since ${formatDuration(sinceS)} into the recording`}, over the limit of ${formatCurrent(limitA)}. Only ${formatDuration(elapsedS)} have passed: a module may still be waiting for its time-out${timeOut === null ? '' : `, such as ${timeOutWords(timeOut)}`}.`,
    'rose-and-stays': ({ afterS, levelA }) => `The current rose ${formatDuration(afterS)} after key-off and stays at ${formatCurrent(levelA)} to the end: something was switched on, or the reading of the sensor jumped.`,
    'fell-late': ({ elapsedS, levelA }) => `The recording is ${formatDuration(elapsedS)} long and ends at ${formatCurrent(levelA)}: a module may still be waiting for its time-out.`,
    'keeps-working': ({ elapsedS, levelA }) => `After ${formatDuration(elapsedS)} it still draws ${formatCurrent(levelA)}, and the current keeps moving: a module is at work.`,
    'hardly-rests': ({ count, longestRestS, averageA }) => `It woke ${times(count)} and never slept longer than ${formatDuration(longestRestS)}; the average is ${formatCurrent(averageA)}.`,
    lamp: ({ levelA, watts }) => `${formatCurrent(levelA)}, steady all the time, is what a lamp of about ${significant(watts, 1)} W draws: look for one left on.`,
    'into-battery': ({ levelA, charging }) =>
      `The current reads ${formatCurrent(levelA)}: it flows into the battery (${charging ? 'charger, engine or solar panel' : 'solar panel or trickle charger'}), or the clamp sits the wrong way round.`,
    'no-current': ({ levelA }) => `The readings are at ${formatCurrent(levelA)}: no current flows through the sensor, and a vehicle with its battery connected always draws some.`,
    constant: ({ levelA }) => `Every reading is ${formatCurrent(levelA)}, without any noise: no working sensor reads like that.`,
    'milliamps-as-amps': ({ middleA }) => `Readings around ${significant(middleA, 3)} A are too high for a parked vehicle: these look like milliamps.`,
    'amps-as-milliamps': ({ middleA }) => `Readings around ${formatCurrent(middleA)} are less than any vehicle draws: these look like amps read as milliamps.`,
    reserve: ({ limitA, over }) => `A quarter of the reserve capacity allows ${formatCurrent(limitA)} (one maker's rule)${over === null ? '' : over ? ': the average is over it' : ': the average is under it'}.`,
    'wake-ups': ({ own, byPerson, byFuse, period }) => {
      const parts: string[] = [];
      if (own > 0) parts.push(period !== null ? `by itself every ${formatDuration(period.s)} (${formatDuration(period.lowS)} to ${formatDuration(period.highS)}), seen ${times(own)}` : `${times(own)} by itself${own > 2 ? ', with no steady period' : ''}`);
      if (byPerson > 0) parts.push(`${times(byPerson)} with somebody at the vehicle`);
      if (byFuse > 0) parts.push(`${times(byFuse)} from a fuse pulled or put back`);
      return `It woke ${parts.join('; ')}.`;
    },
    pulses: ({ floorA, pulseA, duty, periodS, meanA }) =>
      `It pulses: ${formatCurrent(floorA)} between pulses, ${formatCurrent(pulseA)} more in them, ${significant(duty * 100, 2)} % of the time, one about every ${formatDuration(periodS)}; the mean is ${formatCurrent(meanA)}.`,
    'zero-unknown': ({ halfWidthA }) => `The zero of the sensor is not known: that alone may put the level off by ${formatCurrent(halfWidthA)}. Zero the sensor, or enter its zero error. The current through a fuse does not depend on it.`,
    'drift-or-decay': ({ changeA }) => `The level moves by ${formatCurrent(Math.abs(changeA))} without a step. A load that dies away and a zero that drifts look the same here: cannot tell which.`,
    carries: ({ label, currentA, lowA, highA }) => `Fuse ${label} carries ${formatCurrentBounds(currentA, lowA, highA)}.`,
    'not-measured': ({ labels }) => `${upper(fuses(labels))}: not measured, the vehicle was not settled before and after the pull.`,
    'possible-pull': ({ fromS, toS, changeA }) => `From ${formatDuration(fromS)} to ${formatDuration(toS)} the current was ${formatCurrent(-changeA)} lower, like a fuse pulled and put back without a mark.`,
  },
  next: {
    wait: ({ waitS, untilMs, timeOut, first }) =>
      `Keep recording for another ${waitS <= 62 ? 'minute' : minutes(waitS)}${clock(', until', untilMs)}: ${timeOut === null ? 'the level must hold that long' : `by then ${timeOutWords(timeOut)} is over`}.${first === null ? '' : ` It may end sooner, in ${minutes(first.inS)}${clock(', at', first.atMs)}: ${timeOutWords(first.timeOut)}.`} Keep doors shut and the key out of range.`,
    'watch-wake-ups': ({ waitS }) => `Keep recording for another ${waitS <= 62 ? 'minute' : minutes(waitS)} to see how often it wakes. Keep doors shut and the key out of range.`,
    'what-keeps-awake': () => 'Look for what keeps it awake: a door, boot or bonnet latch not shut, a key within range, a lamp, a plugged-in accessory or diagnostic tool.',
    'pull-one-by-one': () => 'Then pull fuses one by one, mark each pull, or read the millivolts across each fuse without pulling it.',
    'what-wakes': () => 'Find what wakes it: key out of range, latches shut, accessories unplugged, no phone paired nearby; then record at least another 30 minutes.',
    'pull-listeners': () => 'If it goes on, pull the fuses of the modules that listen (telematics, entry, alarm) one by one, mark each pull, and see when the waking stops.',
    'zero-again': () => 'Zero the sensor again and repeat the recording: as long as the zero is uncertain, the reading is too close to the limit to call.',
    'no-drain': () => 'No drain to look for at this limit. If the battery still goes flat, test battery and charging.',
    'waking-module': () => 'The level asleep is within the limit; the wake-ups make the drain. Find the module that wakes.',
    lamps: () => 'Look for a lamp left on: glove box, boot, bonnet, vanity mirror, load space. Feel for a warm lens, or leave a phone inside filming.',
    accessories: () => 'Unplug accessories (a phone charger adds 300 to 400 mA while charging) and look again.',
    shared: ({ labels }) => `${upper(fuses(labels))} share the drain: pull them together, then look for what both circuits have in common.`,
    'each-circuit': () => 'Check each of these circuits by itself.',
    'pull-again': ({ labels }) => `Pull ${fuses(labels)} again once it has settled: it was not settled before and after ${labels.length === 1 ? 'that pull' : 'those pulls'}.`,
    'other-fuses': () => 'No pulled fuse carries the drain: go on with the fuses not yet pulled, then what is wired to the battery without a fuse there (starter, alternator).',
    'two-feeds': () => 'If two fuses feed one module, neither pull alone shows it: pull them together.',
    'follow-circuit': ({ label }) => `Go on with the circuit of fuse ${label}: unplug its modules one by one and watch for the same step.`,
    'follow-unexplained': ({ currentA }) => `${formatCurrent(currentA)} are not explained by the fuses pulled: pull the others too.`,
    'name-possible-pull': ({ fromS, changeA }) => `If a fuse was out at ${formatDuration(fromS)}, mark which one: it would carry ${formatCurrent(-changeA)}.`,
    'charger-or-clamp': () => 'Take the charger off, keep sun off a solar panel, stop the engine. If the current still runs backwards, turn the clamp round. Then record again.',
    'check-sensor': () => 'Check the sensor: clamp closed round the battery cable, plugged in, switched on. The reading must move when a lamp is switched on. Then record again.',
    'check-unit': () => 'Check the unit of the current column (A or mA), then read the recording again.',
  },
  problems: {
    'no-samples': () => 'The recording has no readings.',
    gaps: ({ count, lostS }) => `${count} gap${count === 1 ? '' : 's'}, ${formatDuration(lostS)} in all: a wake-up in them would not be seen.`,
    'range-switched': ({ times: switched, resolutionA }) => `The logger switched its range ${times(switched)}.${resolutionA === null ? '' : ` At the end one step is ${formatCurrent(resolutionA)}.`}`,
    'negative-drain': ({ levelA }) => `The current runs backwards, ${formatCurrent(levelA)}: a charger is connected, or the clamp or shunt is the wrong way round.`,
    'clamp-off': ({ levelA }) => `The readings are at ${formatCurrent(levelA)}: the clamp is off the wire, or the battery is disconnected.`,
    constant: ({ levelA }) => `The current reads ${formatCurrent(levelA)} throughout, without any noise: check that the sensor is connected and switched on.`,
    stuck: ({ atS, lostS, levelA, times: count }) =>
      `From ${formatDuration(atS)} on the readings stayed at exactly ${formatCurrent(levelA)}, without the noise they have elsewhere${count > 1 ? ` (${times(count)} in all at one value)` : ''}: the logger hung, or the clamp switched itself off. ${formatDuration(lostS)} are left out; check the logger, its plug and the clamp's battery.`,
    spikes: ({ count, atS, lowestA }) =>
      `${count === 1 ? 'One reading jumps' : `${count} readings jump`} below zero for a moment, down to ${formatCurrent(lowestA)}, the first ${formatDuration(atS)} into the recording. No charger does that: it is interference, and left out. Keep phones and radios away from the sensor and its lead.`,
    'left-out': ({ atS, by }) => `From ${formatDuration(atS)} on ${LEFT_OUT[by]}: what follows is left out.`,
    'implausible-unit': ({ middleA, factor }) =>
      factor === 'milliamps-as-amps' ? `Readings around ${significant(middleA, 3)} A are too high for a parked vehicle: these look like milliamps.` : `Readings around ${formatCurrent(middleA)} are less than any vehicle draws: these look like amps read as milliamps.`,
    'zero-drift': ({ changeA, measured }) =>
      `${measured ? `The zero moved by ${formatCurrent(changeA)} during the test` : `The settled level wanders by ${formatCurrent(Math.abs(changeA))} without a step: the sensor's zero drifts, or a load dies away`}. The bounds allow for it.${Math.abs(changeA) >= CLAMP_LIMIT_A ? ' A clamp cannot prove a 25 mA drain this way: use a shunt, or zero it again right before reading.' : ''}`,
    noise: ({ halfWidthA, stepA, limitA }) =>
      stepA !== null ? `One step of the reading is ${formatCurrent(stepA)}: a small drain is only a few steps.` : `The level is only known to within ${formatCurrent(halfWidthA ?? 0)}: too coarse for a limit of ${formatCurrent(limitA)}.`,
    'shared-drain': ({ labels }) => `Fuses ${labels.join(' and ')} share the drain: pulling one alone does not bring it under the limit. Pull them together and mark both.`,
    'mark-unmatched': ({ label, atS, outside }) =>
      outside ? `The mark "${label}" at ${formatDuration(atS)} lies outside the recording.` : `Fuse ${label} was put back at ${formatDuration(atS)}, but no mark says that it was pulled.`,
  },
};

/** From here on the sentence names the consequence, A. */
const CLAMP_LIMIT_A = 0.01;
