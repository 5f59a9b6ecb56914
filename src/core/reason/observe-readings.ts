import { FEED_LOSS_V, GOOD_BACK_V, LEAST_SUPPLY_V, SECTION_LOSS_V, systemOf } from '../analysis/readings/limits.ts';
import type { Evidence } from './evidence.ts';
import type { ObservationCode } from './table/table.ts';
import type { Moment, Point, Reading } from './types.ts';

/** A motor's feed carries something at all (common practice, no published source). */
const FED_V = 2;
/** Rested 12 V battery: charged (autobatteries.com) and half charged or less. */
const RESTED = { fullV: 12.6, halfV: 12.2 };
/** Engine running, 12 V: float 13.50 V less 0.3 V for load and meter; bulk 14.82 V and 0.7 V for cold weather (Trojan T-105 data sheet: 0.005 V a cell and degree). */
const CHARGING = { leastV: 13.2, mostV: 15.5 };
/** Two readings of one point that differ by more cannot both be right (common practice, no published source). */
const CLASH_V = 1;

/** Parts between neighbouring points of the feed: fuse or feed, wiring, switch, module. */
const FEED: readonly (readonly [Point, 'F' | 'W' | 'S' | 'M' | null])[] = [
  ['battery', null], ['fuse-in', 'F'], ['fuse-out', 'F'], ['switch-in', 'W'], ['switch-out', 'S'], ['module-in', 'W'], ['module-out', 'M'], ['motor-plus', 'W'],
];
const FEED_POINTS = FEED.map(([point]) => point);

const LOST: Readonly<Record<string, ObservationCode>> = {
  F: 'lost-in-fuse', FW: 'lost-in-fuse-or-wiring', W: 'lost-in-wiring', S: 'lost-in-switch', SW: 'lost-in-switch-or-wiring', FSW: 'lost-before-switch-out',
  M: 'lost-in-module', MW: 'lost-in-module-or-wiring', MSW: 'lost-after-fuse', FMSW: 'lost-before-motor',
};

interface ReadingsObserved {
  readonly evidence: readonly Evidence[];
  readonly clash: readonly [Evidence, Evidence] | null;
}

/** What a set of typed-in volts says. Order does not matter; readings of one point that cannot both be right are left out and named. */
export function observeReadings(given: readonly Reading[]): ReadingsObserved {
  const { readings, clash } = agreed(given);
  const evidence: Evidence[] = [];
  const say = (observation: ObservationCode, ...from: Reading[]): void => void evidence.push({ observation, origin: { kind: 'reading', readings: from } });
  const system = systemOf(given.map(({ v }) => v));
  const at = (moment: Moment): ReadonlyMap<Point, Reading> => new Map(readings.filter((reading) => reading.while === moment).map((reading) => [reading.point, reading]));
  const pressed = at('pressed');
  observeFeed(pressed, LEAST_SUPPLY_V[system], FEED_POINTS, say);
  observeWayBack(pressed, say);
  observeKept(pressed, say);
  observeUnloaded(at('released'), pressed, LEAST_SUPPLY_V[system], say);
  const scale = system / 12;
  const rested = at('parked').get('battery');
  if (rested !== undefined && rested.v / scale >= RESTED.fullV) say('rested-full', rested);
  if (rested !== undefined && rested.v / scale <= RESTED.halfV) say('rested-low', rested);
  const running = at('running').get('battery');
  if (running !== undefined) say(running.v / scale < CHARGING.leastV ? 'charges-too-little' : running.v / scale > CHARGING.mostV ? 'charges-too-much' : 'charges', running);
  return { evidence, clash };
}

type Say = (observation: ObservationCode, ...from: Reading[]) => void;

/** The feed while the load is switched on: how far the volts come, and between which points they are lost. */
function observeFeed(feed: ReadonlyMap<Point, Reading>, leastV: number, points: readonly Point[], say: Say): void {
  const battery = feed.get('battery');
  if (battery !== undefined && battery.v < leastV) say('battery-low', battery);
  const measured = points.flatMap((point) => feed.get(point) ?? []);
  const supplyV = battery?.v ?? Math.max(leastV + FEED_LOSS_V, ...measured.map(({ v }) => v));
  const arrived = measured.filter(({ v }) => supplyV - v <= FEED_LOSS_V);
  for (const reading of arrived) if (points.indexOf(reading.point) >= points.indexOf('fuse-out')) say(`volts-at-${reading.point}` as ObservationCode, reading);
  // the section that loses most
  let worst: { from: Reading | null; to: Reading; lossV: number } | null = null;
  let before: Reading | null = null;
  for (const reading of measured) {
    const lossV = (before?.v ?? supplyV) - reading.v;
    if (lossV > SECTION_LOSS_V && supplyV - reading.v > FEED_LOSS_V && lossV > (worst?.lossV ?? 0)) worst = { from: before, to: reading, lossV };
    before = reading;
  }
  if (worst === null) return;
  const code = lostWithin(worst.from?.point ?? 'battery', worst.to.point);
  if (code !== null) say(code, ...(worst.from === null ? [] : [worst.from]), worst.to);
}

function lostWithin(from: Point, to: Point): ObservationCode | null {
  const parts = new Set(FEED.slice(FEED_POINTS.indexOf(from) + 1, FEED_POINTS.indexOf(to) + 1).flatMap(([, part]) => part ?? []));
  return LOST[[...parts].sort().join('')] ?? null;
}

/** The ground side says something only while the motor is fed. */
function observeWayBack(pressed: ReadonlyMap<Point, Reading>, say: Say): void {
  const minus = pressed.get('motor-minus');
  const ground = pressed.get('ground');
  if (ground !== undefined && ground.v > SECTION_LOSS_V) say('volts-on-ground', ground);
  else if (minus !== undefined && minus.v > SECTION_LOSS_V) {
    if (ground !== undefined && ground.v <= GOOD_BACK_V) say('lost-motor-to-ground', minus, ground);
    else say('volts-on-motor-minus', minus);
  }
  const fed = pressed.get('motor-plus');
  if (minus !== undefined && minus.v <= GOOD_BACK_V && fed !== undefined && fed.v > FED_V) say('way-back-good', minus, fed);
}

/** Sections measured at both ends that lose nothing while there are volts to lose. */
function observeKept(pressed: ReadonlyMap<Point, Reading>, say: Say): void {
  const kept = (from: Point, to: Point): readonly Reading[] => {
    const one = pressed.get(from);
    const other = pressed.get(to);
    return one !== undefined && other !== undefined && other.v > FED_V && one.v - other.v <= SECTION_LOSS_V ? [one, other] : [];
  };
  const through = kept('switch-in', 'switch-out');
  if (through.length > 0) say('switch-keeps-volts', ...through);
  const module = kept('module-in', 'module-out');
  if (module.length > 0) say('module-keeps-volts', ...module);
  const first = kept('fuse-out', 'switch-in');
  const second = pressed.has('module-in') ? [] : kept('switch-out', 'motor-plus');
  if (first.length === 0 || second.length === 0) return;
  const minus = pressed.get('motor-minus');
  if (minus !== undefined && minus.v <= GOOD_BACK_V) say('all-wiring-keeps-volts', ...first, ...second, minus);
  else say('feed-wiring-keeps-volts', ...first, ...second);
}

/** Before the open switch: missing volts are as good as pressed, volts that are there prove little without load. */
function observeUnloaded(released: ReadonlyMap<Point, Reading>, pressed: ReadonlyMap<Point, Reading>, leastV: number, say: Say): void {
  const points = FEED_POINTS.slice(0, FEED_POINTS.indexOf('switch-in') + 1);
  const open = new Map([...released].filter(([point]) => points.includes(point) && !pressed.has(point)));
  observeFeed(open, leastV, points, (observation, ...from) => {
    if (!observation.startsWith('volts-at-')) say(observation, ...from);
    else say('volts-unloaded', ...from);
  });
}

function agreed(given: readonly Reading[]): { readings: readonly Reading[]; clash: readonly [Evidence, Evidence] | null } {
  const groups = new Map<string, Reading[]>();
  for (const reading of given) {
    const key = `${reading.point} ${reading.while}`;
    groups.set(key, [...(groups.get(key) ?? []), reading]);
  }
  const readings: Reading[] = [];
  let clash: readonly [Evidence, Evidence] | null = null;
  for (const key of [...groups.keys()].sort()) {
    const group = groups.get(key)!.sort((a, b) => a.v - b.v);
    const low = group[0];
    const high = group[group.length - 1];
    if (high.v - low.v > CLASH_V) clash ??= [asEvidence(low), asEvidence(high)];
    else readings.push(low);
  }
  return { readings, clash };
}

/** For naming only: no row of the table is asked. */
function asEvidence(reading: Reading): Evidence {
  return { observation: 'volts-unloaded', origin: { kind: 'reading', readings: [reading], bare: true } };
}
