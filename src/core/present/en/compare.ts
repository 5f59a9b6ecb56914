import type { Side, StandsOut } from '../../analysis/compare/codes.ts';
import type { ComparedMetric } from '../../analysis/compare/metrics/compared-metric.ts';
import type { MetricName } from '../../analysis/compare/metrics/metric-names.ts';
import type { VerdictBasis } from '../../analysis/results.ts';
import { boundsWords, metricUnit, shownIn } from '../wording/metric-words.ts';
import { decimal, formatCurrent, range, significant } from './locale.ts';
import type { CompareWords } from '../words.ts';
import { calibration } from './calibration.ts';
import { findings, unjudged } from './findings.ts';
import { withMinus } from '../numbers.ts';
import { press } from './motor/press.ts';

const metrics: Readonly<Record<MetricName, string>> = {
  run_a: 'running current',
  inrush_peak_a: 'inrush peak',
  duration_s: 'time under power',
  moving_s: 'time moving',
  travel_s: 'time to the end of travel',
  stalled_s: 'time stalled under power',
  stall_a: 'stall current',
  ripple_hz: 'ripple (speed)',
  source_ohm: 'resistance of the feed',
  dropouts: 'contact losses',
  faulty_share: 'share of presses with a fault',
  asleep_a: 'current asleep',
  last_level_a: 'level at the end',
  asleep_at_s: 'time until asleep',
  average_a: 'average current',
  wakeups_per_h: 'wake-ups an hour',
  wakeup_charge_c: 'charge of a wake-up',
};

const name = (metric: string): string => (Object.hasOwn(metrics, metric) ? metrics[metric as MetricName] : metric);
const title = (finding: string, basis?: VerdictBasis): string => {
  if (finding === 'normal' && basis === 'none') return unjudged.title.toLowerCase();
  return Object.hasOwn(findings, finding) ? findings[finding as keyof typeof findings].title.toLowerCase() : finding;
};
const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const which = (side: Side): string => (side === 'first' ? 'first' : 'second');

/** "Running current forward: 7.42 A before, 4.18 A after, change −3.24 A (−3.41 to −3.07)." */
function figure(pair: ComparedMetric): string {
  if (pair.metric === 'faulty_share' && pair.before !== null && pair.after !== null) {
    const presses = (share: number, of: number): string => `${Math.round(share * of)} of ${of}`;
    return `Presses with a fault: ${presses(pair.before, pair.before_count)} before, ${presses(pair.after, pair.after_count)} after.`;
  }
  const { factor, unit } = shownIn(pair);
  const plain = (value: number): string => withMinus(significant(value * factor, 3));
  const withUnit = (value: number): string => `${plain(value)}${metricUnit(unit)}`;
  const head = `${upper(name(pair.metric))}${pair.direction === null ? '' : ` ${pair.direction}`}`;
  if (pair.before === null || pair.after === null || pair.change === null) {
    return `${head}: ${pair.before === null ? 'not there before' : `${withUnit(pair.before)} before`}, ${pair.after === null ? 'not there after' : `${withUnit(pair.after)} after`}.`;
  }
  const bounds = boundsWords(pair, plain, { range, atLeast: press.atLeast, atMost: press.atMost });
  return `${head}: ${withUnit(pair.before)} before, ${withUnit(pair.after)} after, change ${withUnit(pair.change)}${bounds === '' ? '' : ` (${bounds})`}.`;
}

/** "running current 31 % above the others" */
function standsOut(reason: StandsOut): string {
  if (reason.code === 'finding') {
    const words = `${title(reason.finding, reason.basis)}, ${reason.all ? 'the' : 'most'} others ${title(reason.usual, reason.usualBasis)}`;
    return reason.figure === null ? words : `${words}; ${standsOut(reason.figure)}`;
  }
  const { metric, direction, value, othersMiddle } = reason;
  const head = `${name(metric)}${direction === null ? '' : ` ${direction}`}`;
  const way = value > othersMiddle ? 'above' : 'below';
  if (othersMiddle === 0) return `${head} ${way} the others, which have none`;
  const percent = Math.abs(value / othersMiddle - 1) * 100;
  return `${head} ${percent >= 200 ? `${decimal(value / othersMiddle, 1)} times that of the others` : `${decimal(percent, 0)} % ${way} the others`}`;
}

const WRONG_UNIT = 'it was probably written in mA and read as A. Read it again with its unit (--columns current=NAME:mA; on the page: import it again with its columns). Until then times can be compared, currents cannot.';
const place = { motor: "at the motor's feed", battery: 'at the battery' } as const;

export const compare: CompareWords = {
  none: 'none',
  counted: (count, of) => `${count} of ${of}`,
  metrics,
  verdicts: {
    repaired: { title: 'Repaired', sentence: 'The fault in the first recording is gone in the second.' },
    better: { title: 'Better', sentence: 'The second recording is better than the first; part of the fault may be left.' },
    unchanged: { title: 'No change', sentence: 'Nothing changed beyond its uncertainty.' },
    worse: { title: 'Worse', sentence: 'The second recording is worse than the first.' },
  },
  noClaim: { title: 'Cannot tell', sentence: 'This pair does not show what changed.' },
  like: 'like the others',
  otherFinding: (finding) => `${finding}, unlike most of the others`,
  many: {
    'one-stands-out': { title: 'One stands out', sentence: 'At least one differs from the others by more than they differ among themselves.' },
    alike: { title: 'Alike', sentence: 'None differs from the others by more than they differ among themselves.' },
    'cannot-tell': { title: 'Cannot tell', sentence: 'Nothing here shows which is the odd one out.' },
  },
  judgements: { higher: 'higher', lower: 'lower', same: 'same', unsure: 'cannot tell' },
  methods: {
    bootstrap: 'by resampling the presses',
    welch: "by Welch's t over few presses",
    pooled: "by Student's t, with the scatter of the side that has several",
    within: 'from the uncertainty within each recording',
    newcombe: "of a share by Newcombe's method",
    none: 'no basis for bounds',
  },
  because: {
    findings: ({ first, second, firstBasis, secondBasis }) => `Finding before: ${title(first, firstBasis)}. Finding after: ${title(second, secondBasis)}.`,
    'near-limit': ({ side, near, count }) => `In the ${which(side)} trace: ${calibration.nearLimit(near, count)}`,
    slipped: () => 'The two sit on either side of a limit but differ by less than the tolerance: no change.',
    'no-answer': ({ side }) => `${side === 'both' ? 'Neither trace gives' : `The ${which(side)} trace does not give`} a finding by itself, so only figures were compared.`,
    'fault-changed': () => 'One fault is gone and another has appeared.',
    figure: ({ pair }) => figure(pair),
    'none-moved': ({ same, of }) => `Nothing changed beyond its uncertainty: ${same} of ${of} figures are the same within their tolerance, the others are too uncertain to tell.`,
    'nothing-compared': () => 'No figure could be compared.',
    'wrong-unit': ({ side }) => `Every current of the ${which(side)} trace is about a thousand times that of the other: ${WRONG_UNIT}`,
    'one-virtual': ({ side }) => `The ${which(side)} trace is of the virtual vehicle, the other of a real one: a difference between them proves nothing.`,
  },
  next: {
    'same-vehicle': 'Compare two traces of the same vehicle: this pair proves nothing.',
    'right-unit': 'Read the file in the right unit, then compare again: this pair proves nothing.',
    'record-again': 'Record again until each trace has its own finding: so far this pair proves nothing.',
    'both-sound': 'Neither trace shows a fault: if the complaint stays, record while it happens.',
    'more-presses': 'Record at least three presses each way after the repair, same lead, same sensor, to rule out chance.',
    'watch-travel': 'Watch the mechanism move over its whole travel, both ways, under its usual load, before the vehicle goes back.',
    'fault-left': 'A fault is left, or may be: open the second trace and follow its next check.',
    'undo-last': 'Go back over what was touched last: connectors, ground, alignment of the mechanism. Then record again.',
    'cause-missed': 'The repair did not reach the cause: follow the next check of the first trace.',
    'second-night': 'Record a second night: a module that seldom wakes does not show in one.',
    'drain-left': 'A drain is left: go on pulling fuses, largest circuit first.',
    'what-differs': 'First rule out other differences: doors, key nearby, accessories, battery charger. Then record again.',
    'drain-missed': 'The repair did not touch the drain: go on with the circuit whose fuse carried the current.',
  },
  problems: {
    'other-supply': ({ beforeV, afterV }) =>
      `The supply under load was ${significant(beforeV, 3)} V before and ${significant(afterV, 3)} V after. Stall and inrush current, speed and travel time of the second trace are scaled to the first one's voltage ` +
      "by the motor's equations, under the same load. The running current is not: its range allows for a load that grows with speed.",
    'other-lead': ({ first, second }) =>
      `The voltage lead was ${place[first]} in the first trace and ${place[second]} in the second: feed resistance and supply belong to different lengths of wire and are not judged. Currents and times are.`,
    'other-rate': ({ slowHz, fastHz }) =>
      `One trace has ${significant(slowHz, 3)} readings a second, the other ${significant(fastHz, 3)}: the slower one misses part of the inrush peak, so that is not judged. The other figures are.`,
    'other-sensor': ({ percent }) => `The traces were recorded with different sensors, so a change of current below about ${significant(percent, 2)} % may come from the sensors alone.`,
    'unknown-sensor': ({ percent }) =>
      `It is not known which sensor recorded the traces, so a change of current below about ${significant(percent, 2)} % may come from the sensors alone. If one sensor recorded both, smaller changes count.`,
    'no-presses': ({ side }) => `${side === 'both' ? 'Neither trace has a' : `The ${which(side)} trace has no`} press of the switch, so only the findings can be compared. Record it again and work the switch.`,
    'one-side-only': ({ side, direction }) => `Only the ${which(side)} trace has ${direction} presses; that direction is not compared.`,
    'single-press': ({ direction }) => `One side has only one ${direction} press, so how much such presses vary is not known. Three or more on each side give a firmer answer.`,
    'no-direction-in-common': () => 'The traces have no direction in common: only the findings can be compared. If the clamp was turned round between them, turn it back and record again.',
    'wrong-unit': ({ side }) => `Every current of the ${which(side)} trace is about a thousand times that of the other: ${WRONG_UNIT}`,
    'never-settled': ({ side }) =>
      side === 'both'
        ? 'Neither trace settled, so currents asleep cannot be compared; the levels at their ends can.'
        : `The ${which(side)} trace never settled, so its current asleep cannot be compared; the findings and the averages can.`,
    'other-limit': ({ beforeA, afterA }) => `The first trace was judged against ${formatCurrent(beforeA)}, the second against ${formatCurrent(afterA)}: compare the currents, not the findings.`,
    carried: ({ side, text, lost }) => `${upper(which(side))} trace: ${text}${lost ? ' The rest was compared.' : ''}`,
    'carried-more': ({ side, count }) => `${upper(which(side))} trace: ${count} more remarks; open it to see them.`,
  },
  standsOut,
  manyBecause: {
    trace: ({ name: trace, reason }) => `${trace}: ${standsOut(reason)}.`,
    press: ({ name: trace, direction, number, startS, reason }) => `${trace}, ${direction} ${number} at ${decimal(startS, 1)} s: ${standsOut(reason)}.`,
    more: ({ count }) => `${count} more stand out; the list has them.`,
    'too-few': () => 'Too few to say what is usual.',
    'findings-differ': () => 'Their figures lie close together, but their findings differ, and no finding is the usual one.',
    alike: () => 'None differs from the others by more than their scatter.',
  },
  manyNext: {
    'look-at-odd': 'Overlay the odd one on any other, then open it on its own and follow its next check.',
    'more-traces': 'Record at least three presses each way, or add a third trace.',
    'each-by-itself': 'Open each trace on its own and follow its next check.',
    'alike-not-good': 'If all of them could share one fault, compare with a known-good vehicle: alike is not the same as good.',
  },
  manyProblems: {
    'no-presses': ({ name: trace, finding }) => `${trace} has no press of the switch (${title(finding)}): only its finding can be compared with the others.`,
    'many-presses': ({ name: trace, count, most }) => `${trace} has ${count} presses; the first ${most} are compared.`,
    'wrong-unit': ({ first, second, side }) => `${first} and ${second}: every current of the ${which(side)} trace is about a thousand times that of the other: ${WRONG_UNIT}`,
    'only-two': () => 'With two traces neither can be called the odd one: their presses are compared with each other, the traces themselves are compared as before and after.',
  },
  knownGoodProblems: {
    single: ({ traces, share }) =>
      `These limits come from ${traces === 1 ? 'a single trace' : 'no trace'}: its own values with ${significant(share * 100, 2)} % to either side, not the spread among good vehicles. Add known-good traces.`,
    few: ({ traces }) => `These limits come from ${traces} traces, so they are wide: few traces say little about how good vehicles differ. Five or more make them useful.`,
  },
  placeMethods: {
    normal: 'Limits hold 95 % of good ones with 95 % confidence, assuming the figures are normally distributed',
    range: 'Limits are the range of the good ones, which holds 95 % of good vehicles with 95 % confidence, whatever the distribution',
    single: 'Limits are the values of a single trace with 20 % to either side: not the spread among good vehicles',
    typed: 'Limits are as entered by hand, for both directions',
  },
};
