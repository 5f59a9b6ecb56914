import { significant } from '../../units.ts';
import type { ActuationResult, DrainResult } from '../results.ts';
import { ACTUATION_METRICS } from './metrics.ts';
import type { ComparedMetric, CompareFinding, CompareResult } from './results.ts';

type CompareVerdict = CompareResult['verdict'];

/** How bad a finding is, for "better" and "worse" between findings; null where it tells nothing of the circuit's health. */
const ACTUATION_SEVERITY: Readonly<Record<string, number | null>> = {
  normal: 0,
  light: 2,
  heavy: 2,
  intermittent: 3,
  stalled: 3,
  starved: 3,
  locked: 4,
  dead: 4,
  unpowered: 4,
  unclear: null,
};

const DRAIN_SEVERITY: Readonly<Record<string, number | null>> = { asleep: 0, waking: 2, drain: 3, awake: 4, 'too-short': null };

/**
 * repaired: a fault before, none after, and no figure that speaks against it · better/worse: the finding or a telling figure moved, by
 * more than its doubt · unchanged: neither. The words say only what the two traces show.
 */
export function actuationVerdict(before: ActuationResult, after: ActuationResult, pairs: readonly ComparedMetric[]): CompareVerdict {
  return verdict(before.verdict.finding, after.verdict.finding, ACTUATION_SEVERITY, pairs, worseSign, actuationNext);
}

export function drainVerdict(before: DrainResult, after: DrainResult, pairs: readonly ComparedMetric[]): CompareVerdict {
  // asleep and awake currents, wake-ups and charge: less is better; so is an earlier sleep
  return verdict(before.verdict.finding, after.verdict.finding, DRAIN_SEVERITY, pairs, () => 1, drainNext);
}

function verdict(
  before: string,
  after: string,
  severities: Readonly<Record<string, number | null>>,
  pairs: readonly ComparedMetric[],
  sign: (pair: ComparedMetric) => number,
  next: (finding: CompareFinding, pairs: readonly ComparedMetric[]) => string[],
): CompareVerdict {
  const beforeSeverity = severities[before] ?? null;
  const afterSeverity = severities[after] ?? null;
  const worse = pairs.filter((pair) => moved(pair) * sign(pair) > 0);
  const better = pairs.filter((pair) => moved(pair) * sign(pair) < 0);
  let finding: CompareFinding;
  if (beforeSeverity === null || afterSeverity === null) finding = byFigures(better, worse);
  else if (beforeSeverity > 0 && afterSeverity === 0) finding = 'repaired';
  else if (afterSeverity < beforeSeverity) finding = 'better';
  else if (afterSeverity > beforeSeverity) finding = 'worse';
  else finding = byFigures(better, worse);
  const because = [`Finding before: ${before}. Finding after: ${after}.`];
  const telling = [...(finding === 'worse' ? worse : better), ...(finding === 'worse' ? better : worse)];
  for (const pair of telling.slice(0, 4)) because.push(sentence(pair));
  if (telling.length === 0) because.push(noneMoved(pairs));
  return { finding, because, next: next(finding, pairs) };
}

function byFigures(better: readonly ComparedMetric[], worse: readonly ComparedMetric[]): CompareFinding {
  if (worse.length > 0 && better.length === 0) return 'worse';
  if (better.length > 0 && worse.length === 0) return 'better';
  return 'unchanged';
}

function moved(pair: ComparedMetric): number {
  return pair.judgement === 'higher' ? 1 : pair.judgement === 'lower' ? -1 : 0;
}

function worseSign(pair: ComparedMetric): number {
  return ACTUATION_METRICS.find(({ name }) => name === pair.metric)?.worse ?? 0;
}

/** "running current forward: 7.42 A before, 4.18 A after, change -3.24 A (-3.41 to -3.07)" */
export function sentence(pair: ComparedMetric): string {
  const { words, unit } = describeMetric(pair.metric);
  const figure = (value: number): string => `${significant(value, 3)}${unit === '' ? '' : ` ${unit}`}`;
  const name = `${words.charAt(0).toUpperCase()}${words.slice(1)}${pair.direction === null ? '' : ` ${pair.direction}`}`;
  if (pair.before === null || pair.after === null || pair.change === null) {
    return `${name}: ${pair.before === null ? 'not there before' : `${figure(pair.before)} before`}, ${pair.after === null ? 'not there after' : `${figure(pair.after)} after`}.`;
  }
  const bounds = pair.low === null || pair.high === null ? '' : ` (${significant(pair.low, 3)} to ${significant(pair.high, 3)})`;
  return `${name}: ${figure(pair.before)} before, ${figure(pair.after)} after, change ${figure(pair.change)}${bounds}.`;
}

const DRAIN_WORDS: Readonly<Record<string, { words: string; unit: string }>> = {
  asleep_a: { words: 'current asleep', unit: 'A' },
  asleep_at_s: { words: 'time until asleep', unit: 's' },
  average_a: { words: 'average current', unit: 'A' },
  wakeups_per_h: { words: 'wake-ups an hour', unit: '' },
  wakeup_charge_c: { words: 'charge of a wake-up', unit: 'C' },
  charge_ah_per_day: { words: 'charge a day', unit: 'Ah' },
};

export function describeMetric(name: string): { words: string; unit: string } {
  return ACTUATION_METRICS.find((metric) => metric.name === name) ?? DRAIN_WORDS[name] ?? { words: name, unit: '' };
}

function noneMoved(pairs: readonly ComparedMetric[]): string {
  const same = pairs.filter(({ judgement }) => judgement === 'same').length;
  if (pairs.length === 0) return 'No figure could be compared.';
  return `No figure moved by more than its doubt: ${same} of ${pairs.length} are the same within their tolerance, the others cannot be told.`;
}

function actuationNext(finding: CompareFinding, pairs: readonly ComparedMetric[]): string[] {
  const few = pairs.some(({ before_count: before, after_count: after }) => Math.min(before, after) < 3);
  const again = few ? ['Record at least three actuations each way after the repair, with the same lead and the same sensor, so that chance is ruled out.'] : [];
  switch (finding) {
    case 'repaired':
      return [...again, 'Watch the mechanism move over its whole travel, both ways, and under its usual load, before the vehicle goes back.'];
    case 'better':
      return [...again, 'A fault or a doubt is left: read the second trace by itself and follow its next check.'];
    case 'worse':
      return ['Go back over what was touched last: connectors, ground, alignment of the mechanism. Then record again.', ...again];
    case 'unchanged':
      return [...again, 'What was done did not reach the cause: follow the next check of the first trace.'];
  }
}

function drainNext(finding: CompareFinding): string[] {
  switch (finding) {
    case 'repaired':
      return ['Leave it recording over a second night: a module that wakes seldom does not show in one.'];
    case 'better':
      return ['A drain is left: go on pulling fuses in the second trace, largest circuit first.'];
    case 'worse':
      return ['Check first what is different by itself: doors, key nearby, accessories, battery charger. Then record again.'];
    case 'unchanged':
      return ['What was done did not touch the drain: go on with the circuit whose fuse carried the current.'];
  }
}
