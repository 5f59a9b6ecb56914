import type { Dice } from '../physics/dice.ts';
import type { Break, Hold } from '../physics/timeline.ts';
import type { Scene } from '../truth/situate.ts';
import { drawHolds, drawMotor, type Drawn, type LookWants, type Wants } from './draw.ts';
import { motorScene, type SituationClass } from './scenes.ts';

/** Openings of the feed while the switch is held, inside the run. */
export function brokenFeed(dice: Dice, count: number, openS: readonly [number, number], motor: Wants = {}): Scene {
  const holds = drawHolds(dice, { lengthS: [2.2, 4] });
  const breaks: Break[] = [];
  for (let index = 0; index < count; index++) {
    const fromS = holds[0]!.fromS + ((holds[0]!.toS - holds[0]!.fromS) * (index + dice.between(0.55, 0.9))) / (count + 1);
    breaks.push({ fromS, toS: fromS + dice.between(...openS) });
  }
  return motorScene(dice, { motor: { startS: [0.015, 0.08], ...motor }, holds, breaks, look: { rates: [1000, 2000, 5000, 10_000] } });
}

/** A feed with so much resistance in it that the motor sees `shareV` of the open volts. The load is the same as with a good feed. */
function weakFeed(dice: Dice, leftV: readonly [number, number], look: LookWants, inBattery: boolean): Scene {
  const drawn = drawMotor(dice, { supplyV: dice.between(12.2, 12.9), runA: [3, 15], ratio: [0.15, 0.3], load: 'dry' });
  const dropV = drawn.supplyV - dice.between(...leftV);
  const ohm = dropV / drawn.runA;
  const feed = { ...drawn.feed, batteryOhm: inBattery ? ohm : 0.01, wireOhm: inBattery ? 0.005 : ohm };
  const standingA = drawn.supplyV / (drawn.motor.ohm + ohm);
  return motorScene(dice, { drawn: { ...drawn, feed, standingA }, times: { count: 2, lengthS: [1.2, 2.5] }, look });
}

/** No current under the clamp: what the volts do decides what may be said. */
function silent(dice: Dice, change: (scene: Scene, drawn: Drawn, holds: readonly Hold[]) => Scene, tap: 'motor' | 'battery' | 'none'): Scene {
  const drawn = drawMotor(dice, { runA: [2, 20] });
  const holds = drawHolds(dice, { count: 2, lengthS: [0.8, 2] });
  return { ...change(motorScene(dice, { drawn, holds, look: { tap } }), drawn, holds), levelsJudged: false };
}

/** the motor's leads are off: its feed has volts while pressed, and nothing flows */
function unplugged(scene: Scene, holds: readonly Hold[]): Scene {
  const { feed } = scene.bench;
  let at = 0;
  const part = scene.bench.motors[0]!;
  const plug = {
    heldA: 0, siemens: 0,
    prepare: (): void => {},
    advance: (nodeV: number, _stepS: number, timeS: number): void => {
      while (at < holds.length - 1 && timeS >= holds[at + 1]!.fromS) at++;
      part.terminalV = timeS >= holds[at]!.fromS && timeS < holds[at]!.toS ? nodeV : 0;
    },
  };
  return { ...scene, bench: { feed, parts: [plug], motors: [part] } };
}

const NOTHING = { kinds: ['unknown' as const], facts: () => ({ optional: true, right: ['dead' as const, 'unclear' as const, 'unpowered' as const] }) };

export const FEEDS: readonly SituationClass[] = [
  { name: 'contact-lost', about: 'the feed opens once for 20 to 90 ms in the run', make: (dice) => brokenFeed(dice, 1, [0.02, 0.09]) },
  { name: 'contact-lost-often', about: 'the feed opens three to six times for 15 to 80 ms', make: (dice) => brokenFeed(dice, dice.whole(3, 6), [0.015, 0.08]) },
  { name: 'contact-lost-long', about: 'opens for 0.12 to 0.35 s: a lost contact or a second press, either may be said', make: (dice) => ({ ...brokenFeed(dice, 1, [0.12, 0.35]), facts: () => ({ alsoRight: ['intermittent', 'normal'] }), splitAllowed: true }) },
  { name: 'bounce-in-run', about: 'near miss: the contact opens for 0.5 to 3 ms, shorter than contacts bounce', make: (dice) => ({ ...brokenFeed(dice, 1, [0.0005, 0.003], { startS: [0.03, 0.1] }), facts: () => ({ alsoRight: ['intermittent'] }) }) },
  { name: 'two-quick-presses', about: 'near miss: released for 0.5 to 0.9 s and pressed again', make: (dice) => motorScene(dice, { motor: { startS: [0.012, 0.06] }, times: { count: 3, lengthS: [0.6, 1.5], pauseS: [0.5, 0.9] } }) },
  { name: 'starved-wire', about: 'a corroded joint leaves the motor 5 to 8 V while it runs; volts at the motor', make: (dice) => ({ ...weakFeed(dice, [5, 8], { tap: 'motor' }, false), verdict: { right: ['starved'], honest: ['suspect'] }, facts: () => ({ right: ['starved', 'normal', 'suspect', 'unclear'] }) }) },
  { name: 'starved-battery', about: 'an exhausted battery sags to 5 to 8 V; volts at the battery', make: (dice) => ({ ...weakFeed(dice, [5, 8], { tap: 'battery' }, true), verdict: { right: ['starved'], honest: ['suspect'] }, facts: () => ({ right: ['starved', 'normal', 'suspect', 'unclear'] }) }) },
  { name: 'weak-wire', about: 'near miss of starved: 9.3 to 10.3 V left at the motor', make: (dice) => ({ ...weakFeed(dice, [9.3, 10.3], { tap: 'motor' }, false), verdict: { right: ['starved', 'suspect', 'normal'], honest: [] }, facts: () => ({ right: ['starved', 'normal', 'suspect'] }) }) },
  { name: 'firm-feed', about: 'near miss: a healthy drop, 11 V and more left at the motor', make: (dice) => motorScene(dice, { motor: { supplyV: dice.between(12.3, 12.9), ratio: [0.15, 0.3], feedShare: [0.1, 0.3] }, look: { tap: 'motor' }, times: { count: 2 } }) },
  {
    name: 'warming-joint', about: 'the feed\'s resistance grows by a half to threefold while it carries current',
    make: (dice) => {
      const drawn = drawMotor(dice, { supplyV: dice.between(12.4, 12.9), runA: [4, 15], ratio: [0.15, 0.25], feedShare: [0.08, 0.15], load: 'dry' });
      return { ...motorScene(dice, { drawn: { ...drawn, feed: { ...drawn.feed, wireGrowsPerS: dice.between(0.05, 0.2) } }, times: { count: 2, lengthS: [3, 5] }, look: { tap: 'motor' } }), facts: () => ({ mildFault: true }) };
    },
  },
  {
    name: 'sag-from-elsewhere', about: 'another circuit of the battery switches on during the run: volts and speed step, its current is not under the clamp',
    make: (dice) => {
      const scene = motorScene(dice, { motor: { ratio: [0.18, 0.3], startS: [0.012, 0.05] }, times: { lengthS: [2.5, 4] }, look: { tap: dice.pick(['battery', 'motor']) } });
      const atS = scene.holds[0]!.fromS + dice.between(1, 1.6);
      const elseA = (0.06 * scene.bench.feed.openV) / scene.bench.feed.batteryOhm;
      return { ...scene, bench: { ...scene.bench, elsewhereA: (timeS) => (timeS > atS ? elseA : 0) }, facts: () => ({ steps: [{ atS, changeA: 0, sure: false }] }), levelsJudged: false };
    },
  },
  { name: 'dead-lead', about: 'volts at the motor\'s plug while pressed, no current, no sag', make: (dice) => ({ ...silent(dice, (scene, _drawn, holds) => unplugged(scene, holds), 'motor'), ...NOTHING, verdict: { right: ['dead'], honest: ['suspect'] } }) },
  { name: 'unpowered', about: 'neither volts at the motor nor current, all along', make: (dice) => ({ ...silent(dice, (scene) => ({ ...unplugged(scene, []), holds: [] }), 'motor'), ...NOTHING, bench: idleBench(dice), verdict: { right: ['unpowered'], honest: [] } }) },
  { name: 'battery-only', about: 'no current, and volts at the battery that stay: nobody can say what the motor got', make: (dice) => ({ ...silent(dice, (scene) => scene, 'battery'), ...NOTHING, bench: idleBench(dice), holds: [], verdict: { right: ['unclear'], honest: ['unpowered'] } }) },
  { name: 'nothing-at-all', about: 'no current and no volt channel', make: (dice) => ({ ...silent(dice, (scene) => scene, 'none'), ...NOTHING, bench: idleBench(dice), holds: [], verdict: { right: ['unclear'], honest: ['unpowered'] } }) },
  {
    name: 'clamp-off', about: 'the motor runs and the battery sags, but the clamp is round the wrong wire (or round both)',
    make: (dice) => {
      const drawn = drawMotor(dice, { runA: [5, 30], feedShare: [0.12, 0.25] });
      const feed = { ...drawn.feed, batteryOhm: (drawn.feed.batteryOhm + drawn.feed.wireOhm) * 0.8, wireOhm: (drawn.feed.batteryOhm + drawn.feed.wireOhm) * 0.2 };
      const scene = motorScene(dice, { drawn: { ...drawn, feed }, times: { count: 2, lengthS: [1, 2.5] }, look: { tap: dice.pick(['battery', 'motor']) }, clamp: () => ({ sense: 0 }) });
      return { ...scene, verdict: { right: ['unclear'], honest: ['suspect'] }, problemsSure: ['clamp-off'], facts: () => ({ optional: true, right: ['unclear', 'suspect'] }), levelsJudged: false };
    },
  },
];

/** a battery with nothing on it */
function idleBench(dice: Dice): Scene['bench'] {
  const scene = motorScene(dice, {});
  const part = scene.bench.motors[0]!;
  const idle = { heldA: 0, siemens: 0, prepare: (): void => {}, advance: (): void => void (part.terminalV = 0) };
  return { feed: scene.bench.feed, parts: [idle], motors: [part] };
}
