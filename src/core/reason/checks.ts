import type { Case, SeenInTrace } from './case.ts';
import { flowsBy, type ObservationCode } from './table/table.ts';
import type { Answer, Moment, Point, Sign } from './types.ts';

/** What the technician can do next. Sentences about each are in present/en. */
const CHECK_CODES = [
  'listen', 'try-both-ways', 'watch-both-sides', 'same-fuse', 'other-side', 'rest', 'by-hand', 'look-at-fuse', 'new-fuse', 'unplug-motor', 'wiggle', 'tap', 'feed-directly',
  'record-press', 'fuse-volts', 'switch-volts', 'module-volts', 'motor-volts', 'way-back', 'ground-volts', 'drop-walk', 'reversal', 'uncouple',
  'battery-test', 'rested-volts', 'charging-volts', 'record-night', 'pull-fuses', 'refit', 'accessories',
] as const;
export type CheckCode = (typeof CHECK_CODES)[number];

/** A result a check can have, and the case as it would then be. */
interface Outcome {
  readonly code: string;
  readonly after: (now: Case) => Case;
}

export interface Check {
  readonly code: CheckCode;
  readonly test: Case['test'];
  /** work and risk together: 1 is a minute with nothing taken apart; working on a live feed, or taking a mechanism off, counts more (common practice, no published source) */
  readonly cost: number;
  readonly outcomes: readonly Outcome[];
  /** false where it was done, or makes no sense yet */
  readonly open: (now: Case) => boolean;
}

function sign(code: CheckCode, name: Sign, cost: number, when: (now: Case) => boolean = () => true, test: Case['test'] = 'actuation'): Check {
  const answer = (given: Answer): Outcome => ({ code: given, after: (now) => ({ ...now, signs: { ...now.signs, [name]: given } }) });
  return { code, test, cost, outcomes: [answer('yes'), answer('no')], open: (now) => now.signs[name] === undefined && when(now) };
}

function shows(...codes: ObservationCode[]): Outcome {
  const seen: SeenInTrace[] = codes.map((observation) => ({ observation, trace: 'next', said: '' }));
  return { code: codes[0], after: (now) => ({ ...now, seen: [...now.seen, ...seen] }) };
}

function reads(code: string, volts: Readonly<Partial<Record<Point, number>>>, moment: Moment = 'pressed'): Outcome {
  return {
    code,
    after: (now) => ({
      ...now,
      readings: [...now.readings, ...Object.entries(volts).filter(([point]) => !hasRead(now, point as Point, moment)).map(([point, v]) => ({ point: point as Point, v, while: moment }))],
    }),
  };
}

function hasRead({ readings }: Case, point: Point, moment: Moment = 'pressed'): boolean {
  return readings.some((reading) => reading.point === point && reading.while === moment);
}

function hasSeen({ seen }: Case, ...codes: ObservationCode[]): boolean {
  return seen.some(({ observation }) => codes.includes(observation));
}

/** Volts that stand for "all there" and for "gone" where an outcome is thought through; only the side of the limits counts. */
const FULL_V = 12.4;
const GONE_V = 0.1;
const SAGGING_V = 8;

const flows = ({ seen }: Case): boolean => seen.some(({ observation }) => flowsBy(observation));
const dead = (now: Case): boolean => hasSeen(now, 'dead', 'volts-no-current') || (now.signs['no-sound'] === 'yes' && now.readings.some(({ point, v, while: moment }) => point === 'motor-plus' && moment === 'pressed' && v > SAGGING_V));
/** the feed is known to be good up to the motor */
const fed = (now: Case): boolean => dead(now) || hasSeen(now, 'reverses-well') || now.readings.some(({ point, v, while: moment }) => point === 'motor-plus' && moment === 'pressed' && v > SAGGING_V);
const weakFeed = (now: Case): boolean => hasSeen(now, 'starved', 'intermittent');
/** weak, and its current is usual: volts lost behind the motor are not in a trace whose lead sits on the feed */
const weakAtUsualCurrent = (now: Case): boolean => now.signs['moves-a-little'] === 'yes' && hasSeen(now, 'ran', 'ran-within-limits', 'ran-with-a-usual-load');
const recorded = (now: Case): boolean => flows(now) || hasSeen(now, 'dead', 'unpowered', 'starved-at-battery');
/** behind a fuse that blows nothing can be measured: first what blows it */
const blows = (now: Case): boolean => now.signs['blows-fuse'] === 'yes';
const drains = (now: Case): boolean => hasSeen(now, 'steady-drain', 'still-awake');

export const CHECKS: readonly Check[] = [
  sign('listen', 'no-sound', 0.3, (now) => now.signs.hums === undefined && !recorded(now) && !blows(now)),
  sign('try-both-ways', 'one-way-only', 0.3, (now) => !dead(now) && !blows(now)),
  sign('watch-both-sides', 'one-side-only', 0.3, (now) => !blows(now) && now.signs['no-sound'] !== 'yes' && !hasSeen(now, 'dead', 'unpowered')),
  sign('same-fuse', 'same-fuse-dead', 0.4, (now) => !flows(now) && !fed(now) && !blows(now)),
  sign('other-side', 'other-side-works', 0.4, (now) => !blows(now)),
  sign('rest', 'works-after-rest', 1.5, (now) => (!flows(now) && !blows(now)) || hasSeen(now, 'stalled-then-cut-out')),
  sign('by-hand', 'moves-by-hand', 1.5),
  sign('look-at-fuse', 'fuse-good', 0.7, (now) => !flows(now) && !fed(now) && !blows(now) && !hasRead(now, 'fuse-out')),
  sign('new-fuse', 'blows-fuse', 1, (now) => now.signs['fuse-good'] === 'no'),
  sign('unplug-motor', 'blows-unplugged', 1.5, (now) => now.signs['blows-fuse'] === 'yes'),
  sign('wiggle', 'changes-when-wiggled', 1, (now) => hasSeen(now, 'intermittent')),
  sign('tap', 'starts-when-tapped', 0.8, dead),
  sign('feed-directly', 'runs-fed-directly', 4, (now) => !flows(now)),
  {
    code: 'record-press', test: 'actuation', cost: 2,
    outcomes: [shows('ran'), shows('stalled'), shows('locked-on-full-volts'), shows('heavy'), shows('light'), shows('intermittent'), shows('dead'), shows('starved'), shows('unpowered')],
    open: (now) => !recorded(now) && !blows(now),
  },
  { code: 'fuse-volts', test: 'actuation', cost: 1, outcomes: [reads('volts', { 'fuse-out': FULL_V }), reads('none', { 'fuse-in': FULL_V, 'fuse-out': GONE_V })], open: (now) => !hasRead(now, 'fuse-out') && !flows(now) && !fed(now) && !blows(now) },
  {
    code: 'switch-volts', test: 'actuation', cost: 2.5,
    outcomes: [reads('volts', { 'switch-in': FULL_V, 'switch-out': FULL_V }), reads('none-out', { 'switch-in': FULL_V, 'switch-out': GONE_V }), reads('none-in', { 'switch-in': GONE_V, 'switch-out': GONE_V })],
    open: (now) => !hasRead(now, 'switch-out') && !flows(now) && !fed(now) && !blows(now),
  },
  {
    code: 'module-volts', test: 'actuation', cost: 2.5,
    outcomes: [reads('volts', { 'module-in': FULL_V, 'module-out': FULL_V }), reads('none-out', { 'module-in': FULL_V, 'module-out': GONE_V })],
    open: (now) => hasRead(now, 'switch-out') && !hasRead(now, 'module-out') && !flows(now) && !fed(now),
  },
  { code: 'motor-volts', test: 'actuation', cost: 2, outcomes: [reads('volts', { 'motor-plus': FULL_V }), reads('none', { 'motor-plus': GONE_V })], open: (now) => !hasRead(now, 'motor-plus') && !recorded(now) && !blows(now) },
  {
    code: 'way-back', test: 'actuation', cost: 1.5,
    outcomes: [reads('good', { 'motor-plus': FULL_V, 'motor-minus': GONE_V }), reads('volts', { 'motor-plus': FULL_V, 'motor-minus': FULL_V - 0.3 })],
    open: (now) => !hasRead(now, 'motor-minus') && (dead(now) || hasSeen(now, 'locked-on-full-volts')),
  },
  {
    code: 'ground-volts', test: 'actuation', cost: 1,
    outcomes: [reads('good', { ground: GONE_V }), reads('volts', { ground: FULL_V - 0.5 })],
    open: (now) => hasRead(now, 'motor-minus') && !hasRead(now, 'ground') && now.readings.some(({ point, v }) => point === 'motor-minus' && v > GONE_V),
  },
  {
    code: 'drop-walk', test: 'actuation', cost: 3,
    outcomes: [
      reads('fuse', { battery: FULL_V, 'fuse-out': SAGGING_V, 'switch-in': SAGGING_V, 'switch-out': SAGGING_V, 'motor-plus': SAGGING_V, 'motor-minus': GONE_V }),
      reads('switch', { battery: FULL_V, 'fuse-out': FULL_V, 'switch-in': FULL_V, 'switch-out': SAGGING_V, 'motor-plus': SAGGING_V, 'motor-minus': GONE_V }),
      reads('wiring', { battery: FULL_V, 'fuse-out': FULL_V, 'switch-in': FULL_V, 'switch-out': FULL_V, 'motor-plus': SAGGING_V, 'motor-minus': GONE_V }),
      reads('ground', { battery: FULL_V, 'fuse-out': FULL_V, 'switch-in': FULL_V, 'switch-out': FULL_V, 'motor-plus': FULL_V, 'motor-minus': FULL_V - SAGGING_V, ground: FULL_V - SAGGING_V }),
      reads('none', { battery: FULL_V, 'fuse-out': FULL_V, 'switch-in': FULL_V, 'switch-out': FULL_V, 'motor-plus': FULL_V, 'motor-minus': GONE_V, ground: GONE_V }),
    ],
    open: (now) => (weakFeed(now) || weakAtUsualCurrent(now)) && !hasRead(now, 'motor-plus'),
  },
  {
    code: 'reversal', test: 'actuation', cost: 2,
    outcomes: [shows('reverses-well'), shows('feeds-one-way'), shows('feeds-no-way')],
    open: (now) => now.signs['one-way-only'] === 'yes' && !hasSeen(now, 'reverses-well', 'feeds-one-way', 'feeds-no-way', 'volts-no-current'),
  },
  {
    code: 'uncouple', test: 'actuation', cost: 4,
    outcomes: [shows('alone-runs'), shows('alone-stands')],
    open: (now) => hasSeen(now, 'locked', 'locked-on-full-volts', 'stalled', 'stalled-then-cut-out', 'heavy', 'hard-work', 'tight-once-a-turn', 'ran-suspect', 'harder-one-way') && !hasSeen(now, 'alone-runs', 'alone-stands', 'alone-heavy'),
  },
  sign('battery-test', 'battery-tested-good', 1.5, () => true, 'drain'),
  { code: 'rested-volts', test: 'drain', cost: 0.4, outcomes: [reads('full', { battery: 12.7 }, 'parked'), reads('low', { battery: 11.9 }, 'parked')], open: (now) => !hasRead(now, 'battery', 'parked') },
  {
    code: 'charging-volts', test: 'drain', cost: 0.6,
    outcomes: [reads('charges', { battery: 14.2 }, 'running'), reads('too-little', { battery: 12.4 }, 'running')],
    open: (now) => !hasRead(now, 'battery', 'running'),
  },
  {
    code: 'record-night', test: 'drain', cost: 2,
    outcomes: [shows('asleep'), shows('steady-drain'), shows('drain-by-waking'), shows('still-awake')],
    open: (now) => !hasSeen(now, 'asleep', 'asleep-but-wakes', 'steady-drain', 'drain-by-waking', 'keeps-waking', 'still-awake'),
  },
  { code: 'pull-fuses', test: 'drain', cost: 2, outcomes: [shows('fuse-carries'), shows('no-fuse-carries')], open: (now) => drains(now) && !hasSeen(now, 'fuse-carries', 'no-fuse-carries') },
  sign('refit', 'sleeps-after-refit', 0.8, (now) => hasSeen(now, 'fuse-carries'), 'drain'),
  sign('accessories', 'new-accessory', 0.3, () => true, 'drain'),
];
