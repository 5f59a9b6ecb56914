import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import type { Scene } from '../truth/situate.ts';
import { Drive, OFF, ON } from './drive.ts';
import { Draws, heldAt, inTurn, oneMotor, parked, pressed, switchOf } from './kit.ts';
import { batteryV, rigOf, slide, wheel, type Rig } from './rig.ts';

/** a bus's wiper, one of two on the same feed: half a sweep is a turn of `sweepRad` */
function wiper(dice: Dice, openV: number): { rig: Rig; sweepRad: number; swing: number; late: number } {
  const rig = rigOf({ openV, runA: dice.between(2, 4), timesStanding: dice.between(4.5, 6), rpm: dice.between(2400, 3000), startS: dice.between(0.02, 0.05), segments: dice.pick([12, 13]), batteryShare: 0.02, wireShare: 0.05 }, dice);
  return { rig, sweepRad: rig.runRad * dice.between(0.55, 0.75), swing: dice.between(0.25, 0.4), late: dice.between(0, Math.PI) };
}

/** Sound sequences: several things one after the other on one wire, each as its maker meant it. */
export const SEQUENCES: readonly SituationClass[] = [
  {
    name: 'parking-heater-starts', about: 'a parking heater lights: its fan, then the glow pin beside it for some seconds, then the dosing pump ticks two or three times a second',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(0.8, 1.6), timesStanding: dice.between(3.6, 5), rpm: dice.between(3000, 4800), startS: dice.between(0.04, 0.1), segments: dice.pick([5, 7, 8]) }, dice);
      const fromS = dice.between(0.7, 1.4);
      const glowS = fromS + dice.between(1.5, 2.8);
      const outS = glowS + dice.between(3, 5);
      const holds = pressed([{ fromS, forS: outS - fromS + dice.between(2, 3.5) }]);
      // a heating wire that grows by a third as it glows; the pump at 2 to 3 strokes a second (a maker's technical description)
      const glowA = dice.between(7, 10);
      const tickHz = dice.between(2, 3);
      const tickA = dice.between(1.5, 2);
      const pin = new Draws(rig.plate.openV, (timeS, nodeV) => (timeS < glowS || timeS >= outS ? 0 : (glowA * nodeV) / rig.plate.openV / (1.33 - 0.33 * Math.exp(-(timeS - glowS) / 0.8))));
      const pump = new Draws(rig.plate.openV, (timeS) => { const within = ((timeS * tickHz) % 1) / tickHz; return timeS < outS - 1 || heldAt(holds, timeS) === null || within > 0.05 ? 0 : tickA * (1 - Math.exp(-within / 0.01)); });
      const steps = [{ atS: glowS, changeA: glowA, sure: true }, { atS: outS, changeA: -glowA, sure: true }];
      return oneMotor(dice, { rig, holds, machine: wheel(rig), beside: [pin, pump], besideA: glowA + tickA, look: { tap: dice.pick(['none', 'battery']) }, rest: { kinds: ['motor', 'heater', 'unknown'], standingA: null, levelsJudged: false, facts: () => ({ right: ['normal'], noPeak: true, steps, events: [{ code: 'step', atS: glowS, sure: false }, { code: 'plunger', atS: outS, sure: false }], beat: { periodS: 1 / tickHz, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'bus-door-damped', about: 'a bus\'s electric door: its controller takes the volts back to a half for the last third of the way, opening and closing',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 24), runA: dice.between(3, 8), timesStanding: dice.between(4, 5.5), rpm: dice.between(2600, 3800), startS: dice.between(0.03, 0.07), segments: dice.pick([10, 12, 16]) }, dice);
      const holds = pressed(inTurn(dice, 2, [2.4, 3.6], [1.4, 3]).map((press, index) => ({ ...press, way: index === 0 ? 1 : -1, shorted: true })));
      const slow = dice.between(0.45, 0.6);
      const rampS = dice.between(0.1, 0.3);
      const damped = (timeS: number, fromS: number, toS: number): number => 1 - (1 - slow) * Math.min(1, Math.max(0, timeS - fromS - 0.65 * (toS - fromS)) / rampS);
      return oneMotor(dice, {
        rig, holds, meanwhile: (timeS, hold) => ({ ...ON, share: damped(timeS, hold.fromS, hold.toS) }), look: { tap: dice.pick(['none', 'battery']) },
        // the feed's current goes down with the volts: no load ended, but it may be told
        rest: { standingA: null, levelsJudged: false, facts: (press) => { const { fromS, toS } = holds[press]!; const atS = fromS + 0.65 * (toS - fromS); return { steps: [{ atS: atS + rampS / 2, changeA: -1, sure: false }], events: [{ code: 'step', atS, sure: false }] }; } },
      });
    },
  },
  { name: 'sliding-door-sequence', about: 'a minibus\'s powered sliding door: a clutch\'s coil, the door\'s motor brought up softly, and for the last second a second motor that pulls the door shut', make: slidingDoor },
  {
    name: 'two-wipers', about: 'a bus\'s two wipers, each with its own motor on one feed: they sweep at slightly different speeds, now together and now against one another',
    make: (dice) => {
      const openV = batteryV(dice, 24);
      const both = [wiper(dice, openV), wiper(dice, openV)];
      const holds = pressed([{ fromS: dice.between(0.7, 1.3), forS: dice.between(9, 13) }]);
      const drives = both.map(({ rig, sweepRad, swing, late }) => new Drive(rig.spec, slide(rig, (angle) => 1 + swing * Math.cos((2 * Math.PI * angle) / sweepRad + late)), switchOf(holds), rig.switchOhm));
      const standingA = both.reduce((sum, { rig }) => sum + rig.standingA, 0);
      return parked(dice, { parts: drives, motors: drives, feed: both[0]!.rig.feed, holds, peakA: standingA, levelA: 4, standingA, switchOhm: both[0]!.rig.switchOhm, look: { tap: dice.pick(['none', 'battery']) }, rest: { levelsJudged: false, facts: () => ({ beat: { periodS: 0.6, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'slide-out-over-sill', about: 'a camper\'s slide-out room: half-way it climbs over its sill with half as much load again, and presses its seal at the end',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(10, 19), timesStanding: dice.between(4.2, 5.5), rpm: dice.between(2400, 3600), startS: dice.between(0.03, 0.06), segments: dice.pick([12, 16, 20]) }, dice);
      const fromS = dice.between(0.7, 1.3);
      const forS = dice.between(9, 14);
      const sillS = fromS + forS * dice.between(0.4, 0.55);
      const wideS = dice.between(0.8, 1.3);
      const high = dice.between(0.4, 0.6);
      const holds = pressed([{ fromS, forS }]);
      const share = (_angle: number, timeS: number): number => 0.9 + high * Math.exp(-(((timeS - sillS) / wideS) ** 2)) + 0.4 * Math.min(1, Math.max(0, (timeS - fromS - forS + 0.7) / 0.7)) ** 2;
      return oneMotor(dice, { rig, holds, machine: slide(rig, share) });
    },
  },
];

function slidingDoor(dice: Dice): Scene {
  const openV = batteryV(dice, 12);
  const door = rigOf({ openV, runA: dice.between(4, 7), timesStanding: dice.between(3.8, 5), rpm: dice.between(2600, 3800), startS: dice.between(0.04, 0.08), segments: dice.pick([10, 12]), batteryShare: 0.03, wireShare: 0.06 }, dice);
  const cinch = rigOf({ openV, runA: dice.between(6, 9), timesStanding: dice.between(3.8, 5), rpm: dice.between(2600, 3800), startS: dice.between(0.02, 0.04), segments: dice.pick([8, 10]), batteryShare: 0.03, wireShare: 0.06 }, dice);
  const fromS = dice.between(0.7, 1.3);
  const goesS = fromS + dice.between(0.08, 0.15);
  const upS = dice.between(0.3, 0.5);
  const shutS = goesS + dice.between(2.5, 3.5);
  const holds = pressed([{ fromS, forS: shutS - fromS + dice.between(0.9, 1.3) }]);
  const coilA = dice.between(1, 1.6);
  const clutch = new Draws(openV, (timeS) => (heldAt(holds, timeS) === null || timeS > shutS ? 0 : coilA * (1 - Math.exp(-(timeS - fromS) / 0.02))));
  const share = (timeS: number): number => Math.min(1, 0.3 + (0.7 * (timeS - goesS)) / upS);
  const drives = [
    new Drive(door.spec, slide(door), switchOf(holds, (timeS) => (timeS >= goesS && timeS < shutS ? { ...ON, share: share(timeS) } : OFF)), door.switchOhm),
    new Drive(cinch.spec, slide(cinch, (_angle, timeS) => 0.6 + 0.4 * Math.min(1, Math.max(0, timeS - shutS))), switchOf(holds, (timeS) => (timeS >= shutS ? ON : OFF)), cinch.switchOhm),
  ];
  return parked(dice, {
    parts: [...drives, clutch], motors: drives, feed: door.feed, holds, peakA: door.standingA + cinch.standingA, levelA: 5, standingA: null, switchOhm: door.switchOhm, look: { tap: dice.pick(['none', 'battery']) },
    // neither of the two is fed for the whole press: none is held to stand
    rest: { kinds: ['motor', 'solenoid'], judgedMotors: 0, levelsJudged: false, facts: () => ({ right: ['normal'], alsoHonest: ['unclear'], noPeak: true, steps: [goesS, shutS, shutS + 0.45].map((atS) => ({ atS, changeA: 1, sure: false })), events: [{ code: 'step', atS: shutS, sure: false }, { code: 'plunger', atS: fromS, sure: false }] }) },
  });
}
