import { caseFileOf, type Case } from '../../../src/core/reason/case.ts';
import type { CheckCode } from '../../../src/core/reason/checks.ts';
import { observeResult } from '../../../src/core/reason/observe-results.ts';
import { nextStep } from '../../../src/core/reason/next.ts';
import { readResult } from '../../../src/core/reason/read-result.ts';
import type { Answer, Cause, Point, Reading, Sign } from '../../../src/core/reason/types.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';

/** A vehicle with one fault: what it answers to whatever is tried on it. Written from the fault, not from the table. */
export interface Vehicle {
  readonly name: string;
  readonly test: 'actuation' | 'drain';
  readonly truth: Cause;
  /** what the customer's complaint and a look at the vehicle gave */
  readonly complaint: Readonly<Partial<Record<Sign, Answer>>>;
  /** what each further sign would show; what is missing shows nothing of note: "no" */
  readonly signs: Readonly<Partial<Record<Sign, Answer>>>;
  /** volts while pressed, against the battery's negative post */
  readonly volts?: Readonly<Partial<Record<Point, number>>>;
  /** fields of the `analyse --json` document of a press, or of a night */
  readonly trace: Readonly<Record<string, unknown>>;
  /** the same with the mechanism uncoupled */
  readonly alone?: Readonly<Record<string, unknown>>;
  /** the night again with fuses pulled */
  readonly pulled?: Readonly<Record<string, unknown>>;
  readonly battery?: { readonly parkedV: number; readonly runningV: number };
  /** what an experienced technician does, in order, before the repair */
  readonly path: readonly CheckCode[];
}

const SIGN_OF: Readonly<Partial<Record<CheckCode, Sign>>> = {
  listen: 'no-sound', 'try-both-ways': 'one-way-only', 'watch-both-sides': 'one-side-only', 'same-fuse': 'same-fuse-dead', 'other-side': 'other-side-works', rest: 'works-after-rest',
  'by-hand': 'moves-by-hand', 'look-at-fuse': 'fuse-good', 'new-fuse': 'blows-fuse', 'unplug-motor': 'blows-unplugged', wiggle: 'changes-when-wiggled', tap: 'starts-when-tapped', 'feed-directly': 'runs-fed-directly',
  'battery-test': 'battery-tested-good', refit: 'sleeps-after-refit', accessories: 'new-accessory',
};
/** A sound vehicle answers yes to these. */
const USUALLY_YES: ReadonlySet<Sign> = new Set(['fuse-good', 'other-side-works', 'moves-by-hand', 'battery-tested-good']);
const POINTS_OF: Readonly<Partial<Record<CheckCode, readonly Point[]>>> = {
  'fuse-volts': ['fuse-in', 'fuse-out'], 'switch-volts': ['switch-in', 'switch-out'], 'module-volts': ['module-in', 'module-out'], 'motor-volts': ['motor-plus'], 'way-back': ['motor-plus', 'motor-minus'],
  'ground-volts': ['ground'], 'drop-walk': ['battery', 'fuse-in', 'fuse-out', 'switch-in', 'switch-out', 'motor-plus', 'motor-minus', 'ground'],
};
const GOOD_V: Readonly<Record<Point, number>> = { battery: 12.6, 'fuse-in': 12.6, 'fuse-out': 12.5, 'switch-in': 12.5, 'switch-out': 12.4, 'module-in': 12.5, 'module-out': 12.3, 'motor-plus': 12.3, 'motor-minus': 0.1, ground: 0.05 };

const FEED: readonly Point[] = ['battery', 'fuse-in', 'fuse-out', 'switch-in', 'switch-out', 'module-in', 'module-out', 'motor-plus'];

/** As given, else sound; but no point of the feed has more than the points before it. */
function voltsAt(point: Point, { volts = {} }: Vehicle): number {
  const before = FEED.slice(0, Math.max(0, FEED.indexOf(point))).flatMap((one) => volts[one] ?? []);
  return volts[point] ?? Math.min(GOOD_V[point], ...before);
}

/** Fed straight from the battery everything runs that the fault itself does not hold or open. */
function usual(sign: Sign, { truth, trace }: Vehicle): Answer {
  if (sign !== 'runs-fed-directly') return USUALLY_YES.has(sign) ? 'yes' : 'no';
  const finding = (trace['verdict'] as { finding: string }).finding;
  const held = truth === 'motor-cut-out' || ((truth === 'motor' || truth === 'mechanism') && (finding === 'dead' || finding === 'locked'));
  return held ? 'no' : 'yes';
}

/** Does one check on the vehicle and writes down what it showed. */
export function tried(now: Case, vehicle: Vehicle, check: CheckCode): Case {
  const sign = SIGN_OF[check];
  if (sign !== undefined) return { ...now, signs: { ...now.signs, [sign]: vehicle.signs[sign] ?? usual(sign, vehicle) } };
  const points = POINTS_OF[check];
  if (points !== undefined) return withReadings(now, points.map((point) => ({ point, v: voltsAt(point, vehicle), while: 'pressed' as const })));
  switch (check) {
    case 'rested-volts':
      return withReadings(now, [{ point: 'battery', v: vehicle.battery?.parkedV ?? 12.7, while: 'parked' }]);
    case 'charging-volts':
      return withReadings(now, [{ point: 'battery', v: vehicle.battery?.runningV ?? 14.3, while: 'running' }]);
    case 'uncouple':
      return withTrace(now, { uncoupled: true, ...(vehicle.alone ?? { verdict: { finding: 'normal' } }) }, vehicle);
    case 'pull-fuses':
      return withTrace(now, vehicle.pulled ?? vehicle.trace, vehicle);
    case 'reversal':
      return { ...now, seen: [...now.seen, { observation: vehicle.trace['reversal'] as 'feeds-one-way', trace: 'reversal', said: '' }] };
    default:
      return withTrace(now, vehicle.trace, vehicle);
  }
}

function withReadings(now: Case, readings: readonly Reading[]): Case {
  return { ...now, readings: [...now.readings, ...readings.filter(({ point, while: moment }) => !now.readings.some((known) => known.point === point && known.while === moment))] };
}

function withTrace(now: Case, document: Readonly<Record<string, unknown>>, { test }: Vehicle): Case {
  const facts = readResult({ test, ...document });
  if (typeof facts === 'string') throw new Error(facts);
  return { ...now, seen: [...now.seen, ...observeResult(facts, String(now.seen.length + 1))] };
}

export interface Way {
  readonly tests: readonly CheckCode[];
  /** the likeliest cause at the end */
  readonly named: Cause;
  /** causes that are left beside it */
  readonly open: readonly Cause[];
}

/** A person who knows nothing but the complaint, and does what is asked until the tool asks for no more. */
export function follow(vehicle: Vehicle, most = 12): Way {
  let now: Case = { test: vehicle.test, signs: vehicle.complaint, seen: [], readings: [] };
  const tests: CheckCode[] = [];
  for (;;) {
    const left = whatIsLeft(caseFileOf(now));
    const step = nextStep(now, left);
    if (step === null || step.kind === 'verify' || tests.length === most) {
      return { tests, named: left.causes[0].cause, open: left.causes.filter(({ state }) => state === 'open').map(({ cause }) => cause) };
    }
    tests.push(step.check.code);
    now = tried(now, vehicle, step.check.code);
  }
}
