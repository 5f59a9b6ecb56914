import { caseFileOf, type Case } from '../../../src/core/reason/case.ts';
import type { CheckCode } from '../../../src/core/reason/checks.ts';
import { nextStep } from '../../../src/core/reason/next.ts';
import { observeResult } from '../../../src/core/reason/observe-results.ts';
import { readResult } from '../../../src/core/reason/read-result.ts';
import type { Answer, Cause, Moment, Point, Reading, Signs } from '../../../src/core/reason/types.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';

/**
 * A vehicle as a thing, not as a list of answers: wires with ohms, a motor, what it drives. Whatever check is asked, the answer is reckoned from the fault
 * by Ohm's law and by how the parts work. Nothing here knows the table of observations.
 */
export interface MotorVehicle {
  readonly test: 'actuation';
  /** ohms of a section that is not sound; Infinity: open */
  readonly ohm?: Readonly<Partial<Record<Section, number>>>;
  /** the section is at fault in one direction only */
  readonly oneWay?: boolean;
  readonly motor?: 'sound' | 'seized' | 'drags' | 'open' | 'cut-out-open' | 'brush-hangs';
  readonly mechanism?: 'free' | 'stiff' | 'stops-halfway' | 'stuck';
  readonly drive?: 'whole' | 'sheared' | 'one-side-off';
  readonly short?: 'harness' | 'motor';
  readonly runningA?: number;
}

export interface ParkedVehicle {
  readonly test: 'drain';
  /** what flows at rest beside the few mA that are usual, A */
  readonly extraA?: number;
  /** the fuse it flows through; null: before the fuses */
  readonly fuse?: string | null;
  readonly falling?: 'asleep' | 'stays-awake' | 'woken-again';
  readonly clearsOnRefit?: boolean;
  readonly accessory?: boolean;
  readonly battery: 'sound' | 'worn';
  readonly runningV?: number;
}

/** Sections in the order of the current; each ends at the point beside it. */
const SECTIONS = { feed: 'fuse-in', fuse: 'fuse-out', 'to-switch': 'switch-in', switch: 'switch-out', 'to-module': 'module-in', module: 'module-out', 'to-motor': 'motor-plus', winding: 'motor-minus', 'to-ground': 'ground', ground: null } as const;
export type Section = keyof typeof SECTIONS;

const BATTERY_V = 12.6;
/** what all sound sections lose together while it runs: wires are chosen for their load */
const SOUND_LOSS_V = 0.3;
/** standing over running current of a small motor (trade figure: 3 to 7) */
const STANDING_RATIO = 5;
const USUAL_RUN_A = 5;
/** below this a motor is too weakly fed to be judged, V */
const WEAK_V = 9.5;

interface Pressed {
  readonly currentA: number;
  readonly volts: Readonly<Record<Point, number>>;
}

function currentOf({ motor = 'sound', mechanism = 'free', drive = 'whole', runningA = USUAL_RUN_A }: MotorVehicle, wireOhm: number): number {
  if (wireOhm === Infinity || motor === 'open' || motor === 'cut-out-open') return 0;
  const standingA = BATTERY_V / (wireOhm + BATTERY_V / (STANDING_RATIO * runningA));
  if (motor === 'seized' || mechanism === 'stuck') return standingA;
  const share = drive === 'sheared' ? 0.35 : drive === 'one-side-off' ? 0.6 : motor === 'drags' || mechanism === 'stiff' ? 1.7 : 1;
  return Math.min(standingA, runningA * share);
}

export function press(vehicle: MotorVehicle): Pressed {
  const soundOhm = SOUND_LOSS_V / (Object.keys(SECTIONS).length - 1) / (vehicle.runningA ?? USUAL_RUN_A);
  const ohms = { ...Object.fromEntries(Object.keys(SECTIONS).map((name) => [name, soundOhm])), ...vehicle.ohm, ...(vehicle.short === undefined ? {} : { fuse: Infinity }) } as Record<Section, number>;
  const { winding: _motor, ...wires } = ohms;
  const currentA = currentOf(vehicle, Object.values(wires).reduce((sum, one) => sum + one, 0));
  const volts = { battery: BATTERY_V } as Record<Point, number>;
  // the current meets the sections from the battery on; an open one keeps the volts on its battery side
  const names = Object.keys(SECTIONS) as Section[];
  const backOhm = ohms['to-ground'] + ohms.ground;
  const openAt = names.findIndex((name) => ohms[name] === Infinity || (name === 'winding' && currentA === 0 && backOhm !== Infinity && !names.some((one) => ohms[one] === Infinity)));
  let v = BATTERY_V;
  for (const [at, name] of names.entries()) {
    const point = SECTIONS[name];
    if (currentA === 0) v = openAt >= 0 && at >= openAt ? 0 : BATTERY_V;
    else if (name === 'winding') v = currentA * backOhm;
    else v -= currentA * ohms[name];
    if (point !== null) volts[point] = Math.max(0, Math.round(v * 100) / 100);
  }
  return { currentA, volts };
}

function findingOf(vehicle: MotorVehicle): string {
  const { motor = 'sound', mechanism = 'free', drive = 'whole' } = vehicle;
  const { currentA, volts } = press(vehicle);
  if (currentA === 0) return volts['motor-plus'] > 0 ? 'dead' : 'unpowered';
  if (motor === 'brush-hangs') return 'intermittent';
  if (motor === 'seized' || mechanism === 'stuck') return 'locked';
  // the lead sits on the feed against the battery's negative post: what the way back loses is not in the trace
  if (volts['motor-plus'] < WEAK_V) return 'starved';
  if (mechanism === 'stops-halfway') return 'stalled';
  if (motor === 'drags' || mechanism === 'stiff') return 'heavy';
  return drive === 'whole' ? 'normal' : 'light';
}

function pressDocument(vehicle: MotorVehicle, more: Readonly<Record<string, unknown>> = {}): Record<string, unknown> {
  const { volts } = press(vehicle);
  return {
    test: 'actuation', verdict: { finding: findingOf(vehicle), basis: 'limits', because: [] }, trace: { voltage_at: 'motor' },
    actuations: [{ supply: { open_v: BATTERY_V, run_v: volts['motor-plus'] }, stalls: vehicle.mechanism === 'stops-halfway' ? [{}] : [] }], ...more,
  };
}

/** The limit a parked vehicle is held to, and what it draws when all is well, A. */
const LIMIT_A = 0.05;
const USUAL_SLEEP_A = 0.018;

function nightDocument({ extraA = 0, falling = 'asleep', fuse }: ParkedVehicle, pulled: boolean): Record<string, unknown> {
  const levelA = USUAL_SLEEP_A + (falling === 'asleep' ? extraA : 0);
  const finding = falling === 'stays-awake' ? 'awake' : falling === 'woken-again' ? 'waking' : levelA > LIMIT_A ? 'drain' : 'asleep';
  const pulls = pulled ? ['F1', 'F4', 'F9', 'F14'].map((label) => ({ label, carries: label === fuse })) : [];
  return { test: 'drain', verdict: { finding, because: [] }, limit_a: LIMIT_A, asleep: falling === 'stays-awake' ? null : { level_a: levelA }, over_limit: falling !== 'stays-awake' ? finding !== 'asleep' : null, wakeups: falling === 'woken-again' ? [{}, {}, {}, {}, {}] : [], pulls };
}

const yes = (is: boolean): Answer => (is ? 'yes' : 'no');

/** What a sign would show at this vehicle. */
function signAt(vehicle: MotorVehicle | ParkedVehicle, check: CheckCode): Signs {
  if (vehicle.test === 'drain') {
    const { battery, clearsOnRefit = false, accessory = false } = vehicle;
    const found: Readonly<Partial<Record<CheckCode, Signs>>> = { 'battery-test': { 'battery-tested-good': yes(battery === 'sound') }, refit: { 'sleeps-after-refit': yes(clearsOnRefit) }, accessories: { 'new-accessory': yes(accessory) } };
    return found[check] ?? {};
  }
  const { ohm = {}, motor = 'sound', mechanism = 'free', drive = 'whole', short, oneWay = false } = vehicle;
  const { currentA } = press(vehicle);
  const shared = short !== undefined || ohm.feed === Infinity || ohm.fuse === Infinity;
  const found: Readonly<Partial<Record<CheckCode, Signs>>> = {
    listen: { 'no-sound': yes(currentA === 0) },
    'try-both-ways': { 'one-way-only': yes(oneWay) },
    'watch-both-sides': { 'one-side-only': yes(drive === 'one-side-off') },
    'same-fuse': { 'same-fuse-dead': yes(shared) },
    'other-side': { 'other-side-works': yes(!shared) },
    rest: { 'works-after-rest': yes(motor === 'cut-out-open') },
    'by-hand': { 'moves-by-hand': yes(mechanism === 'free') },
    'look-at-fuse': { 'fuse-good': yes(ohm.fuse !== Infinity && short === undefined) },
    'new-fuse': { 'blows-fuse': yes(short !== undefined) },
    'unplug-motor': { 'blows-unplugged': yes(short === 'harness') },
    wiggle: { 'changes-when-wiggled': 'no' },
    tap: { 'starts-when-tapped': yes(motor === 'brush-hangs') },
    'feed-directly': { 'runs-fed-directly': yes(motor === 'sound' && mechanism !== 'stuck') },
  };
  return found[check] ?? {};
}

const POINTS_OF: Readonly<Partial<Record<CheckCode, readonly Point[]>>> = {
  'fuse-volts': ['fuse-in', 'fuse-out'], 'switch-volts': ['switch-in', 'switch-out'], 'module-volts': ['module-in', 'module-out'], 'motor-volts': ['motor-plus'], 'way-back': ['motor-plus', 'motor-minus'], 'ground-volts': ['ground'],
  'drop-walk': ['battery', 'fuse-out', 'switch-in', 'switch-out', 'motor-plus', 'motor-minus', 'ground'],
};

/** The case after one check was made at the vehicle. */
export function answered(now: Case, vehicle: MotorVehicle | ParkedVehicle, check: CheckCode): Case {
  const points = POINTS_OF[check];
  const read = (point: Point, v: number, moment: Moment): Case => ({ ...now, readings: [...now.readings, { point, v, while: moment }] });
  if (vehicle.test === 'actuation' && points !== undefined) {
    const { volts } = press(vehicle);
    const fresh = points.filter((point) => !now.readings.some((known) => known.point === point && known.while === 'pressed'));
    return { ...now, readings: [...now.readings, ...fresh.map((point): Reading => ({ point, v: volts[point], while: 'pressed' }))] };
  }
  switch (check) {
    case 'record-press':
      return seen(now, pressDocument(vehicle as MotorVehicle));
    case 'uncouple':
      return seen(now, pressDocument({ ...(vehicle as MotorVehicle), mechanism: 'free', drive: 'whole' }, { uncoupled: true }));
    case 'reversal':
      return { ...now, seen: [...now.seen, { observation: turned(vehicle as MotorVehicle), trace: 'reversal', said: '' }] };
    case 'record-night':
    case 'pull-fuses':
      return seen(now, nightDocument(vehicle as ParkedVehicle, check === 'pull-fuses'));
    case 'rested-volts':
      return read('battery', 11.9, 'parked');
    case 'charging-volts':
      return read('battery', (vehicle as ParkedVehicle).runningV ?? 14.3, 'running');
    default:
      return { ...now, signs: { ...now.signs, ...signAt(vehicle, check) } };
  }
}

function turned(vehicle: MotorVehicle): 'reverses-well' | 'feeds-one-way' | 'feeds-no-way' | 'volts-no-current' {
  const { currentA, volts } = press(vehicle);
  if (vehicle.oneWay === true) return 'feeds-one-way';
  if (volts['motor-plus'] < WEAK_V) return 'feeds-no-way';
  return currentA === 0 ? 'volts-no-current' : 'reverses-well';
}

function seen(now: Case, document: Readonly<Record<string, unknown>>): Case {
  const facts = readResult(document);
  if (typeof facts === 'string') throw new Error(facts);
  return { ...now, seen: [...now.seen, ...observeResult(facts, String(now.seen.length + 1))] };
}

/** What somebody does who knows the complaint alone and follows each next check. */
export function walked(vehicle: MotorVehicle | ParkedVehicle, noticed: Signs, most = 12): { tests: CheckCode[]; named: Cause; open: Cause[] } {
  let now: Case = { test: vehicle.test, signs: noticed, seen: [], readings: [] };
  const tests: CheckCode[] = [];
  for (;;) {
    const left = whatIsLeft(caseFileOf(now));
    const step = nextStep(now, left);
    if (step === null || step.kind === 'verify' || tests.length === most) return { tests, named: left.causes[0].cause, open: left.causes.filter(({ state }) => state === 'open').map(({ cause }) => cause) };
    tests.push(step.check.code);
    now = answered(now, vehicle, step.check.code);
  }
}
