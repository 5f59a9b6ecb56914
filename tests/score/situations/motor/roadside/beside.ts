import type { SituationClass } from '../families/scenes.ts';
import { Draws, heldAt, inTurn, oneMotor, parked, pressed } from './kit.ts';
import { batteryV, rigOf } from './rig.ts';

/** Sound things with something else on the wire, or that are no brushed motor at all. */
export const BESIDE: readonly SituationClass[] = [
  {
    name: 'charging-while-pressed', about: 'the clamp is on a camper\'s battery lead and its mains charger gives 12 to 30 A all along: the pump\'s runs lift the current towards nothing, and not up to it',
    make: (dice) => {
      const chargeA = dice.between(14, 30);
      const rig = rigOf({ openV: dice.between(13.3, 14.2), runA: dice.between(4, 9), timesStanding: dice.between(3.4, 4.5), rpm: dice.between(2200, 4000), startS: dice.between(0.015, 0.05), segments: dice.pick([8, 10, 12]) }, dice);
      const hz = dice.pick([100, 120]);
      const charger = new Draws(rig.plate.openV, (timeS) => -chargeA * (1 + 0.03 * Math.cos(2 * Math.PI * hz * timeS)));
      return oneMotor(dice, { rig, holds: pressed(inTurn(dice, dice.whole(2, 3), [1.4, 2.6], [1.2, 2.4])), beside: [charger], besideA: chargeA, look: { tap: dice.pick(['none', 'battery']) }, rest: { levelsJudged: false, problemsAllowed: ['background'] } });
    },
  },
  {
    name: 'tail-lift-lowers', about: 'a tail lift goes up by its pump, and down by its own weight: there only a valve\'s coil draws 2 to 3 A on the same cable',
    make: (dice) => {
      // packs of 1.2 to 2 kW: 90 to 160 A at 12 V (makers' data sheets), coils of 26 to 36 W
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(85, 140), timesStanding: dice.between(4.5, 6), rpm: dice.between(2600, 3600), startS: dice.between(0.04, 0.09), polePairs: 2, segments: dice.pick([19, 21, 25]) }, dice);
      const [up, down] = inTurn(dice, 2, [2, 4], [1.5, 3]);
      const holds = pressed([up!, down!]);
      const coilA = dice.between(2.2, 3);
      const tauS = dice.between(0.01, 0.025);
      const homeS = dice.between(0.018, 0.03);
      // the plunger's own volts take the current back by a fifth while it moves (the shape: TI white paper SSIY001)
      const valve = (sinceS: number): number => coilA * (1 - Math.exp(-sinceS / tauS)) * (1 - 0.2 * Math.exp(-(((sinceS - homeS) / 0.004) ** 2)));
      return oneMotor(dice, {
        rig, holds: [holds[0]!], leastHz: 200, clamp: { rangeA: 1000, noiseA: 0.06, lsbA: 0.03, offsetA: dice.between(-0.1, 0.1) }, beside: [new Draws(rig.plate.openV, (timeS) => { const hold = heldAt(holds, timeS); return hold === holds[1] ? valve(timeS - hold.fromS) : 0; })],
        afterS: holds[1]!.toS - holds[0]!.toS + 0.8, look: { tap: dice.pick(['none', 'battery']) },
        rest: { holds, kinds: ['motor', 'solenoid'], facts: (press) => (press === 0 ? {} : { right: ['normal'], alsoHonest: ['unclear'], noPeak: true, events: [{ code: 'plunger', atS: holds[1]!.fromS + homeS, sure: false }] }) },
      });
    },
  },
  {
    name: 'courtesy-light-fades', about: 'a door was opened: the roof lights on the same feed burn until the window is let down, and fade away over one or two seconds of its run',
    make: (dice) => {
      const rig = rigOf({ openV: batteryV(dice, 12), runA: dice.between(4, 9), timesStanding: dice.between(3.4, 4.6), rpm: dice.between(2600, 4200), startS: dice.between(0.015, 0.04), segments: dice.pick([8, 10, 12]) }, dice);
      const presses = inTurn(dice, 2, [2.6, 3.6], [1.2, 2]);
      const atS = presses[0]!.fromS + dice.between(0.4, 0.9);
      const forS = dice.between(1, 1.7);
      const lampA = rig.plate.runA * dice.between(0.25, 0.5);
      const lights = new Draws(rig.plate.openV, (timeS) => lampA * Math.min(1, Math.max(0, (atS + forS - timeS) / forS)));
      const fading = Array.from({ length: Math.ceil(forS / 0.5) + 1 }, (_, index) => ({ atS: atS + 0.5 * index, changeA: -1, sure: false }));
      return oneMotor(dice, { rig, holds: pressed(presses), beside: [lights], besideA: lampA, rest: { standingA: null, levelsJudged: false, problemsAllowed: ['background'], facts: (press) => (press === 0 ? { steps: fading, events: [{ code: 'step', atS, sure: false }] } : {}) } });
    },
  },
  {
    name: 'camper-fridge', about: 'a compressor refrigerator\'s thermostat makes: its fan first, a few seconds later the compressor, brought up by its electronics within two tenths of a second',
    make: (dice) => {
      const openV = batteryV(dice);
      const volts = openV > 20 ? 2 : 1;
      const fanA = dice.between(0.5, 0.9) / volts;
      const coldA = dice.between(3.5, 6) / volts;
      const fromS = dice.between(0.8, 1.5);
      const atS = fromS + dice.between(1.6, 3);
      const upS = dice.between(0.1, 0.2);
      const holds = pressed([{ fromS, forS: atS - fromS + dice.between(4, 7) }]);
      // one piston, 2000 to 3500 turns a minute
      const strokeHz = dice.between(2000, 3500) / 60;
      const amps = (timeS: number): number => (heldAt(holds, timeS) === null ? 0 : fanA + coldA * Math.min(1, Math.max(0, (timeS - atS) / upS)) * (1 + 0.15 * Math.cos(2 * Math.PI * strokeHz * timeS)));
      return parked(dice, {
        parts: [new Draws(openV, amps)], motors: [], feed: { openV, batteryOhm: 0.01, wireOhm: dice.between(0.02, 0.08), wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 }, holds, peakA: 1.3 * (fanA + coldA), levelA: fanA, standingA: null, switchOhm: 0, look: { tap: dice.pick(['none', 'battery']) },
        rest: { kinds: ['motor', 'unknown'], facts: () => ({ right: ['normal'], alsoHonest: ['unclear'], noPeak: true, steps: [{ atS, changeA: coldA, sure: true }], events: [{ code: 'step', atS, sure: false }], beat: { periodS: 1 / strokeHz, depthA: 0, sure: false } }) },
      });
    },
  },
  {
    name: 'xenon-runs-up', about: 'a recovery lorry\'s xenon work lamp: its ballast strikes it, gives it twice its power and takes that back over some seconds, at any volts',
    make: (dice) => {
      const openV = batteryV(dice);
      // 35 W lamps: some 75 W while they run up (common practice, no published source)
      const watt = 35 * dice.whole(1, 2) * dice.between(1.1, 1.2);
      const more = dice.between(0.9, 1.2);
      const tauS = dice.between(1.5, 4);
      const holds = pressed(inTurn(dice, 1, [6, 12], [1, 2]));
      const amps = (timeS: number, nodeV: number): number => {
        const hold = heldAt(holds, timeS);
        if (hold === null) return 0;
        const sinceS = timeS - hold.fromS;
        return (watt / Math.max(8, nodeV)) * (1 + more * Math.exp(-sinceS / tauS) + 2.5 * Math.exp(-sinceS / 0.004));
      };
      return parked(dice, {
        parts: [new Draws(openV, amps)], motors: [], feed: { openV, batteryOhm: 0.01, wireOhm: dice.between(0.02, 0.06), wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 }, holds, peakA: (6 * watt) / openV, levelA: watt / openV, standingA: null, switchOhm: 0, look: { tap: dice.pick(['none', 'battery']) },
        rest: { kinds: ['unknown', 'lamp'], facts: () => ({ right: ['normal'], alsoHonest: ['unclear'], noPeak: true }) },
      });
    },
  },
];
