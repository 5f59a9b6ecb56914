import type { SituationClass } from '../families/scenes.ts';
import { inTurn, oneMotor, pressed } from './kit.ts';
import { batteryV, rigOf, slide, wheel } from './rig.ts';

/** Machines that are sound and whose current goes its own way: on boats, campers, lorries. */
export const AFLOAT: readonly SituationClass[] = [
  {
    name: 'bow-thruster', about: 'a boat\'s bow thruster: two bursts one way and the other, a field in series, a propeller as load',
    make: (dice) => {
      // 205 A for 2 hp and 290 A for 4 hp at 12 V (Westlawn, The Masthead, June 2012)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(160, 290), timesStanding: dice.between(3.4, 4.6), rpm: dice.between(3600, 5200), startS: dice.between(0.05, 0.12), polePairs: 2, segments: dice.pick([21, 25, 29]), series: true }, dice);
      const holds = pressed(inTurn(dice, dice.whole(2, 4), [1, 2.6], [0.9, 1.8]).map((press, index) => ({ ...press, way: index % 2 === 0 ? 1 : -1 })));
      return oneMotor(dice, { rig, holds, machine: wheel(rig), leastHz: 200, look: { tap: dice.pick(['none', 'battery']) } });
    },
  },
  {
    name: 'motor-siren', about: 'a rescue vehicle\'s motor siren wails: its wheel takes two or three seconds to come to speed, coasts, and is driven on again while it still turns',
    make: (dice) => {
      // sirens of 12 V: tens of amperes, 8000 turns and more (common practice, no published source)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(14, 30), timesStanding: dice.between(4.5, 6.5), rpm: dice.between(7000, 10_000), startS: dice.between(0.8, 1.5), segments: dice.pick([12, 16, 20]) }, dice);
      const holds = pressed(inTurn(dice, dice.whole(2, 3), [3.5, 5], [1.5, 2.5]));
      return oneMotor(dice, { rig, holds, machine: wheel(rig), rest: { facts: () => ({ noPeak: true }) } });
    },
  },
  {
    name: 'pressure-switch-pump', about: 'a camper\'s diaphragm pump with the tap half open: its pressure switch lets it run for half a second to a second and stops it again, five to nine times',
    make: (dice) => {
      // three to five chambers round a wobble plate; the switch opens at some 3 bar (45 to 55 psi, makers' handbooks)
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(3, 8), timesStanding: dice.between(3.8, 5.5), rpm: dice.between(1800, 2800), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const chambers = dice.whole(3, 5);
      const holds = pressed(inTurn(dice, dice.whole(5, 9), [0.5, 1.1], [0.6, 1.5]));
      const pressure = (timeS: number): number => { const hold = holds.findLast((one) => timeS >= one.fromS); return hold === undefined ? 0.75 : 0.75 + 0.3 * Math.min(1, (timeS - hold.fromS) / (hold.toS - hold.fromS)); };
      return oneMotor(dice, { rig, holds, machine: slide(rig, (angle, timeS) => pressure(timeS) * (1 + 0.2 * Math.cos(chambers * angle))), rest: { facts: () => ({ beat: { periodS: 0.03, depthA: 0, sure: false } }) } });
    },
  },
  {
    name: 'jack-leg-lands', about: 'a caravan\'s levelling leg: down without load, then its foot lands and within a second it carries its corner, with two to three times the current',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(11, 24), timesStanding: dice.between(2.6, 3.3), rpm: dice.between(2400, 4000), startS: dice.between(0.02, 0.05), segments: dice.pick([10, 12, 16]) }, dice);
      const free = dice.between(0.64, 0.72);
      const fromS = dice.between(0.7, 1.3);
      const landsS = fromS + dice.between(1.4, 2.8);
      const takesS = dice.between(0.6, 1.3);
      const holds = pressed([{ fromS, forS: landsS - fromS + takesS + dice.between(1.2, 2.4) }]);
      const climb = Array.from({ length: Math.ceil(takesS / 0.5) + 1 }, (_, index) => ({ atS: landsS + 0.5 * index, changeA: 1, sure: false }));
      return oneMotor(dice, { rig, holds, machine: slide(rig, (_angle, timeS) => 1 - free * Math.min(1, Math.max(0, (landsS + takesS - timeS) / takesS))), rest: { facts: () => ({ steps: climb, events: [{ code: 'step', atS: landsS, sure: false }] }) } });
    },
  },
  {
    name: 'sheet-rolls-up', about: 'a tipper\'s sheet rolls itself up for ten to sixteen seconds: the roll grows, and the current with it, to half as much again',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice), runA: dice.between(7, 15), timesStanding: dice.between(4, 5.5), rpm: dice.between(2200, 3600), startS: dice.between(0.03, 0.07), segments: dice.pick([10, 12, 20]) }, dice);
      const fromS = dice.between(0.7, 1.5);
      const forS = dice.between(10, 16);
      const least = dice.between(0.6, 0.75);
      const rollRad = rig.runRad * dice.between(0.9, 1.6);
      const holds = pressed([{ fromS, forS }]);
      // turns lie on one another: the radius, and with it the torque, grows as the root of the length
      const roll = (angle: number): number => least * Math.sqrt(1 + 1.4 * (angle / (rig.runRad * forS))) * (1 + 0.03 * Math.cos((2 * Math.PI * angle) / rollRad));
      return oneMotor(dice, { rig, holds, machine: slide(rig, roll), rest: { facts: () => ({ beat: { periodS: 1, depthA: 0, sure: false } }) } });
    },
  },
];
