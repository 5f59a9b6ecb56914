import type { Mark } from '../../../../../src/core/trace.ts';
import type { Chance } from '../chance.ts';
import { changeOf, fuseNames, promptly, pullAll, pullLabel, type Circuit, type Manner, type Pulled } from '../fuses.ts';
import { recorded, type Recording } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { affordableRateHz, healthyFloorA, somePoll, someModules } from '../stock.ts';
import type { NightCase, NightLabel, NightSituation, Span } from '../types.ts';
import { ParkedNight } from '../vehicle.ts';

export interface Box {
  readonly night: ParkedNight;
  readonly circuits: Circuit[];
}

/**
 * A vehicle asleep behind a fuse box: `drainA` on one of the fuses, some milliamps on some, nothing on the others. Pulled from
 * `startS` on; the recording goes on for a while after.
 */
export function fuseBox(chance: Chance, how: { drainA: number; startS: number; slowestS?: number; count?: number; roomS?: number; hz?: number; floorA?: number }): Box {
  const count = how.count ?? chance.whole(3, 7);
  const floorA = how.floorA ?? healthyFloorA(chance);
  const durationS = how.startS + (how.roomS ?? 330 * count + 600);
  const modules = someModules(chance, { slowestS: how.slowestS ?? chance.between(180, 1200), floorA });
  const night = new ParkedNight(chance, durationS, how.hz ?? affordableRateHz(durationS, 10), modules);
  if (how.drainA > 0) night.constant(how.drainA);
  const culprit = chance.whole(0, count - 1);
  let freeA = floorA * 0.9;
  const circuits = fuseNames(chance, count).map((label, index) => {
    const shareA = chance.yes(0.45) ? 0 : freeA * chance.between(0.15, 0.5);
    freeA -= shareA;
    return { label, restA: shareA + (index === culprit ? how.drainA : 0) };
  });
  return { night, circuits };
}

/** Late enough that every published time-out has run. */
function lateS(chance: Chance): number {
  return chance.between(5200, 7200);
}

export function finished(box: Box, pulled: Pulled, how: Partial<Recording> & { sensor?: Recording['sensor'] } = {}): NightCase {
  const { night } = box;
  night.finish();
  const label: Partial<NightLabel> = { ...pullLabel(night, pulled), tags: ['pulls'], ...how.label };
  return recorded(night, { ...how, sensor: how.sensor ?? goodSensor(night.chance), marks: how.marks ?? pulled.marks, label });
}

function marked(chance: Chance, change: Partial<Manner>, box = fuseBox(chance, { drainA: drain(chance), startS: lateS(chance) }), startS?: number): NightCase {
  const beginS = startS ?? box.night.durationS - 330 * box.circuits.length - 600;
  return finished(box, pullAll(box.night, box.circuits, beginS, { ...promptly(chance), ...change }));
}

export function drain(chance: Chance): number {
  return chance.logBetween(0.07, 0.6);
}

function sharedDrain(chance: Chance): NightCase {
  const drainA = drain(chance);
  const startS = lateS(chance);
  const box = fuseBox(chance, { drainA: 0, startS, count: 4 });
  box.night.constant(drainA);
  // two feeds of one module: with one fuse out, the other carries it all
  const circuits = box.circuits.map((circuit, index) => (index < 2 ? { ...circuit, restA: 0 } : circuit));
  return finished({ ...box, circuits }, pullAll(box.night, circuits, startS, promptly(chance)));
}

/** Each pull (or the bonnet opened for it) wakes the whole vehicle; the fuse stays out until it sleeps again, or not. */
function waking(chance: Chance, patient: boolean): NightCase {
  const startS = lateS(chance);
  const slowestS = chance.between(40, 120);
  const box = fuseBox(chance, { drainA: drain(chance), startS, slowestS, count: 3, roomS: 3 * 900 + 900 });
  const manner = { ...promptly(chance), outS: () => (patient ? slowestS + chance.between(120, 240) : slowestS * chance.between(0.3, 0.6)), betweenS: () => slowestS + chance.between(200, 300) };
  const pulled = pullAll(box.night, box.circuits, startS, manner);
  for (const out of pulled.outs) box.night.stir(out.fromS + 0.2, 2);
  const pulls = patient ? pulled.pulls : pulled.pulls.map((pull) => ({ ...pull, right: [null] }));
  return finished(box, { ...pulled, pulls });
}

/** Pulled within minutes of key-off, while modules time out one after another. */
function tooEarly(chance: Chance, drainA: number): NightCase {
  const slowestS = chance.between(900, 1500);
  const count = chance.whole(2, 4);
  const box = fuseBox(chance, { drainA, startS: 5400, slowestS, count, roomS: chance.between(600, 3600) });
  const manner = { ...promptly(chance), outS: () => chance.between(15, 60), betweenS: () => chance.between(10, 60) };
  const pulled = pullAll(box.night, box.circuits, chance.between(30, 240), manner);
  pulled.outs.forEach((out, index) => cutAwake(box.night, index, out));
  const pulls = pulled.pulls.map((pull) => ({ ...pull, right: [null] }));
  return finished(box, { ...pulled, pulls }, { label: { tags: ['pulls', 'pulls, awake'] } });
}

/** The module behind a fuse goes dark with it, whatever it was doing, and starts anew when the fuse is back. */
function cutAwake(night: ParkedNight, index: number, out: Span): void {
  const module = night.modules[index % night.modules.length]!;
  if (out.fromS >= module.timeoutS) return;
  night.wave.box(out.fromS, Math.min(out.toS, module.timeoutS), module.sleepA - module.awakeA);
  night.keepAwake(index % night.modules.length, out.toS, out.toS + module.timeoutS * night.chance.between(0.3, 1));
}

function unmarked(chance: Chance, count: number, drainA: number): NightCase {
  const startS = lateS(chance);
  const box = fuseBox(chance, { drainA, startS, count, floorA: chance.between(0.022, 0.034) });
  // no fuse carries more than all of them
  const circuits = box.circuits.map((circuit) => ({ ...circuit, restA: chance.between(0.7, 0.95) * (drainA > 0 ? drainA / count : box.night.floorA) }));
  const pulled = pullAll(box.night, circuits, startS, { ...promptly(chance), bootS: () => 0 });
  const possiblePulls = pulled.outs.map((out, index) => ({ ...out, change: changeOf(circuits[index]!) }));
  return finished(box, { ...pulled, pulls: [] }, { marks: [] as Mark[], label: { possiblePulls, pulls: [], unexplained: null, tags: ['pulls', 'pulls, unmarked'] } });
}

function besidePolls(chance: Chance, own: boolean): NightCase {
  const startS = lateS(chance);
  const box = fuseBox(chance, { drainA: drain(chance), startS });
  const poll = { ...somePoll(chance, chance.logBetween(1, 20)), heightA: chance.logBetween(0.02, 0.25) };
  const circuits = own ? box.circuits.map((circuit, index) => (index === 0 ? { ...circuit, restA: circuit.restA, poll } : circuit)) : box.circuits;
  if (!own) box.night.poll(poll);
  // out long enough for ten polls and more, as a careful technician waits
  const manner = { ...promptly(chance), outS: () => Math.max(60, 12 * poll.periodS), betweenS: () => Math.max(90, 12 * poll.periodS) };
  const long = { ...box, circuits: circuits.slice(0, 4) };
  return finished(long, pullAll(box.night, long.circuits, startS, manner), { label: { tags: ['pulls', 'pulls, polling'] } });
}

/** A careless technician: at once after the last refit, with its module still booting, comes the next pull. */
function hasty(chance: Chance): NightCase {
  const startS = lateS(chance);
  const box = fuseBox(chance, { drainA: drain(chance), startS, count: 4 });
  const bootS = chance.between(60, 120);
  const circuits = box.circuits.map((circuit) => ({ ...circuit, restA: Math.max(circuit.restA, 0.001) }));
  const pulled = pullAll(box.night, circuits, startS, { ...promptly(chance), bootS: () => bootS, betweenS: () => -bootS * 0.6, outS: () => chance.between(15, 20) });
  const pulls = pulled.pulls.map((pull, index) => (index === 0 ? { ...pull, right: [...pull.right, null] } : { ...pull, right: [null] }));
  return finished({ ...box, circuits }, { ...pulled, pulls }, { label: { tags: ['pulls', 'pulls, awake'] } });
}

/** All pulls are marked but one that carries something: it is offered, and the table holds the others. */
function oneUnmarked(chance: Chance): NightCase {
  const startS = lateS(chance);
  const box = fuseBox(chance, { drainA: drain(chance), startS, count: 4, floorA: chance.between(0.022, 0.034) });
  const circuits = box.circuits.map((circuit, index) => (index === 1 ? { ...circuit, restA: Math.max(circuit.restA, 0.015) } : circuit));
  const pulled = pullAll(box.night, circuits, startS, promptly(chance));
  const secret = circuits[1]!;
  const marks = pulled.marks.filter((mark) => mark.label !== secret.label);
  const case_ = finished(box, { ...pulled, pulls: pulled.pulls.filter((pull) => pull.label !== secret.label) }, { marks });
  return { ...case_, label: { ...case_.label, possiblePulls: [{ ...pulled.outs[1]!, change: changeOf(secret) }] } };
}

export const pullSituations: readonly NightSituation[] = [
  { name: 'pulls-one-unmarked', line: 'all pulls are marked but one, which carries 15 mA or more', make: oneUnmarked },
  { name: 'pulls', line: 'three to seven fuses pulled and refitted at rest, marked within two seconds; one carries the drain', make: (chance) => marked(chance, {}) },
  { name: 'pulls-healthy', line: 'as pulls, on a vehicle without a drain', make: (chance) => marked(chance, {}, fuseBox(chance, { drainA: 0, startS: lateS(chance) })) },
  { name: 'pulls-late-marks', line: 'the marks come 4 to 15 seconds after the deed', make: (chance) => marked(chance, { outS: () => chance.between(60, 150), pullMarkS: () => chance.between(4, 15), refitMarkS: () => chance.between(4, 15) }) },
  { name: 'pulls-early-marks', line: 'the marks come 3 to 10 seconds before the deed', make: (chance) => marked(chance, { outS: () => chance.between(60, 150), pullMarkS: () => -chance.between(3, 10), refitMarkS: () => -chance.between(3, 10) }) },
  { name: 'pulls-no-refit-marks', line: 'each fuse is refitted, but only the pulls are marked', make: (chance) => marked(chance, { refitMarkS: () => null }) },
  { name: 'pulls-left-out', line: 'fuses are pulled one after another and all stay out', make: (chance) => marked(chance, { refits: false, refitMarkS: () => null, outS: () => chance.between(60, 200) }) },
  {
    name: 'pulls-after-usual-wait',
    line: 'pulls begin 25 to 40 minutes after key-off, with everything truly asleep',
    make: (chance) => {
      const startS = chance.between(1500, 2400);
      return marked(chance, {}, fuseBox(chance, { drainA: drain(chance), startS, slowestS: chance.between(180, 900) }), startS);
    },
  },
  { name: 'pulls-too-early', line: 'fuses pulled within minutes of key-off, while modules time out, on a vehicle with a drain', make: (chance) => tooEarly(chance, drain(chance)) },
  { name: 'pulls-too-early-healthy', line: 'as pulls-too-early, without a drain', make: (chance) => tooEarly(chance, 0) },
  { name: 'pulls-hasty', line: 'each pull but the first comes while the module of the last one still boots', make: hasty },
  { name: 'pulls-beside-polls', line: 'a module on another circuit polls all the while', make: (chance) => besidePolls(chance, false) },
  { name: 'pull-of-the-poller', line: 'one of the fuses pulled feeds the polling module', make: (chance) => besidePolls(chance, true) },
  { name: 'pulls-shared-drain', line: 'the drain is fed through two fuses: pulling either alone changes nothing', make: sharedDrain },
  { name: 'pulls-that-wake', line: 'each pull wakes the vehicle, and the technician waits until it sleeps again', make: (chance) => waking(chance, true) },
  { name: 'pulls-that-wake-hasty', line: 'each pull wakes the vehicle, and the fuse is refitted before it sleeps again', make: (chance) => waking(chance, false) },
  { name: 'unmarked-pulls', line: 'two to four fuses of 12 mA or more pulled and refitted without a mark, on a drain', make: (chance) => unmarked(chance, chance.whole(2, 4), drain(chance)) },
  { name: 'unmarked-pull-healthy', line: 'one fuse pulled and refitted without a mark, on a vehicle without a drain', make: (chance) => unmarked(chance, 1, 0) },
];
