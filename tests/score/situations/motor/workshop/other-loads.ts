import type { Dice } from '../physics/dice.ts';
import type { SituationClass } from '../families/scenes.ts';
import type { Scene } from '../truth/situate.ts';
import { CommutatedMotor } from './commutated.ts';
import { build, Drawing, dry, fan, holdAt, holdsOf, otherLoad, switched, type Held } from './kit.ts';

function oneHold(dice: Dice, lengthS: readonly [number, number]): Held[] {
  const fromS = dice.between(0.6, 1.1);
  return [{ fromS, toS: fromS + dice.between(...lengthS) }];
}

/** a coil's current: towards V/R with L/R, and dying away behind its diode */
function coil(ohm: number, henry: number, shut: (timeS: number) => boolean): (timeS: number, nodeV: number) => number {
  let amps = 0;
  let before = 0;
  return (timeS, nodeV) => {
    const stepS = timeS - before;
    before = timeS;
    const closed = shut(timeS);
    amps += (1 - Math.exp((-stepS * ohm) / henry)) * ((closed ? nodeV / ohm : -0.7 / ohm) - amps);
    amps = Math.max(0, amps);
    return closed ? amps : 0;
  };
}

/** Loads that no motor is, and that stand, ring, blink or heat on the same wires. */
export const OTHER_LOADS: readonly SituationClass[] = [
  {
    name: 'horn', about: 'an electromagnetic horn: its own contact breaks the coil\'s current some 400 times a second',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [0.8, 1.6]));
      const hz = dice.between(350, 450);
      const openV = dice.between(12.2, 14.2);
      const ohm = dice.between(0.9, 1.4);
      const coilOf = coil(ohm, ohm * dice.between(0.0008, 0.0015), (timeS) => {
        const hold = holdAt(holds, timeS);
        return hold !== null && ((timeS - hold.fromS) * hz) % 1 < 0.55;
      });
      return otherLoad(dice, {
        parts: [new Drawing(openV, coilOf)], holds, openV, peakA: openV / ohm, look: { rateHz: dice.pick([2000, 3300, 7000]) },
        // its own contact chops, no controller: to call it chopped or not harms nobody
        rest: { kinds: ['unknown', 'solenoid'], levelsJudged: false, problemsAllowed: ['chopped'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], chopped: { hz: null, duty: 0.55, meanA: 0, sure: false }, events: [{ code: 'plunger', atS: 0, sure: false }] }) },
      });
    },
  },
  {
    name: 'led-lamp', about: 'an LED work lamp: its capacitors fill in less than a millisecond, then one flat level that grows a little as the volts sag',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [1.5, 3]));
      const openV = dice.between(12.2, 14.2);
      const watt = dice.between(18, 90);
      const filled = (sinceS: number): number => 6 * Math.exp(-sinceS / 0.0003);
      return otherLoad(dice, {
        parts: [new Drawing(openV, (timeS, nodeV) => { const hold = holdAt(holds, timeS); return hold === null ? 0 : (watt / Math.max(6, nodeV)) * (1 + filled(timeS - hold.fromS)); })], holds, openV, peakA: (7 * watt) / 12,
        rest: { kinds: ['unknown', 'heater', 'lamp'] },
      });
    },
  },
  {
    name: 'inverter', about: 'an inverter feeds a mains appliance: the battery\'s current swings between little and twice its mean, a hundred times a second',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [2, 4]));
      const openV = dice.between(12.2, 14.2);
      const meanA = dice.between(8, 35);
      const depth = dice.between(0.4, 0.9);
      const twiceMains = dice.pick([100, 120]);
      return otherLoad(dice, {
        parts: [new Drawing(openV, (timeS) => (holdAt(holds, timeS) === null ? 0 : meanA * (1 - depth * Math.cos(2 * Math.PI * twiceMains * timeS))))], holds, openV, peakA: meanA * 2,
        rest: { kinds: ['unknown'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], chopped: { hz: null, duty: 0.5, meanA: 0, sure: false }, beat: { periodS: 0.01, depthA: 0, sure: false } }), problemsAllowed: ['chopped'] },
      });
    },
  },
  {
    name: 'starter-solenoid', about: 'a starter\'s solenoid on the bench: 35 to 55 A pull it in, then its contact shorts the pull-in winding and 8 to 13 A hold it',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [0.6, 1.4]));
      const openV = dice.between(12.2, 12.8);
      const pull = openV / dice.between(35, 55);
      const hold = openV / dice.between(8, 13);
      const inS = dice.between(0.03, 0.06);
      const pulls = coil(1 / (1 / pull - 1 / hold), 0.004 * pull, (timeS) => { const held = holdAt(holds, timeS); return held !== null && timeS - held.fromS < inS; });
      const holding = coil(hold, 0.008 * hold, (timeS) => holdAt(holds, timeS) !== null);
      return otherLoad(dice, {
        parts: [new Drawing(openV, pulls), new Drawing(openV, holding)], holds, openV, peakA: openV / pull + openV / hold, look: { rateHz: dice.pick([1000, 2000, 3300]) },
        rest: { kinds: ['solenoid'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], events: [{ code: 'plunger', atS: holds[0]!.fromS + inS, sure: false }, { code: 'step', atS: holds[0]!.fromS + inS, sure: false }], steps: [{ atS: holds[0]!.fromS + inS, changeA: -openV / pull, sure: false }] }) },
      });
    },
  },
  {
    name: 'compressor-clutch', about: 'the magnetic clutch of an air conditioner: 3 to 4.5 A that rise over some 50 ms, with hardly a dip',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [1.5, 3]));
      const openV = dice.between(12.2, 14.2);
      const ohm = openV / dice.between(3, 4.5);
      return otherLoad(dice, { parts: [new Drawing(openV, coil(ohm, ohm * dice.between(0.012, 0.03), (timeS) => holdAt(holds, timeS) !== null))], holds, openV, peakA: openV / ohm, rest: { kinds: ['solenoid'], facts: () => ({ right: ['normal', 'suspect'], noPeak: true, alsoHonest: ['unclear'], events: [{ code: 'plunger', atS: 0, sure: false }] }) } });
    },
  },
  {
    name: 'heater-pulsed', about: 'a heated mirror or seat behind a controller that pulses it 20 to 80 times a second',
    make: (dice) => {
      const holds = holdsOf(oneHold(dice, [2, 4]));
      const openV = dice.between(12.2, 14.2);
      const ohm = openV / dice.between(2.5, 6);
      const hz = dice.between(20, 80);
      const duty = dice.between(0.25, 0.75);
      return otherLoad(dice, {
        parts: [new Drawing(openV, (timeS, nodeV) => { const hold = holdAt(holds, timeS); return hold !== null && ((timeS - hold.fromS) * hz) % 1 < duty ? nodeV / ohm : 0; })], holds, openV, peakA: openV / ohm, look: { rateHz: dice.pick([2000, 3300, 7000]) },
        rest: { kinds: ['heater', 'unknown'], levelsJudged: false, problemsAllowed: ['chopped'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], chopped: { hz, duty, meanA: 0, sure: true } }) },
      });
    },
  },
  {
    name: 'seat-heater-cycles', about: 'a seat heater at its set warmth: its controller gives it 2 to 4 s on, 1 to 3 s off, three or four times',
    make: (dice) => {
      let atS = dice.between(0.6, 1.1);
      const holds = holdsOf(Array.from({ length: dice.whole(3, 4) }, () => { const fromS = atS; const toS = fromS + dice.between(2, 4); atS = toS + dice.between(1, 3); return { fromS, toS }; }));
      const openV = dice.between(12.2, 14.2);
      // wire of a seat heater grows by a few per cent as it warms
      const ohm = openV / dice.between(3.5, 6.5);
      return otherLoad(dice, { parts: [new Drawing(openV, (timeS, nodeV) => { const hold = holdAt(holds, timeS); return hold === null ? 0 : nodeV / (ohm * (1.03 - 0.03 * Math.exp(-(timeS - hold.fromS) / 3))); })], holds, openV, peakA: openV / ohm, look: { rateHz: dice.pick([860, 1000]) }, rest: { kinds: ['heater', 'unknown'] } });
    },
  },
  { name: 'heater-and-fan', about: 'a heated seat with a fan of its own on one switch: 4 to 7 A of heater, and beside it a motor of 0.3 to 0.8 A', make: heaterAndFan },
  {
    name: 'indicators', about: 'indicators: two or three lamps, one and a half times a second, each time cold enough for a peak',
    make: (dice) => {
      const everyS = 60 / dice.between(75, 105);
      const fromS = dice.between(0.6, 1.1);
      const holds = holdsOf(Array.from({ length: dice.whole(5, 8) }, (_, index) => ({ fromS: fromS + index * everyS, toS: fromS + (index + 0.5) * everyS })));
      const openV = dice.between(12.2, 14.2);
      const ampsA = dice.pick([3.5, 3.9, 5.2]);
      const warmS = dice.between(0.02, 0.04);
      // 21 W filaments; off for 0.3 s they cool to some hundred degrees and draw five to seven times again
      return otherLoad(dice, {
        parts: [new Drawing(openV, (timeS) => { const hold = holdAt(holds, timeS); return hold === null ? 0 : ampsA * (1 + (hold === holds[0] ? 10 : 5.5) * Math.exp(-(timeS - hold.fromS) / warmS)); })], holds, openV, peakA: ampsA * 11, look: { rateHz: dice.pick([860, 1000, 2000]) },
        rest: { kinds: ['lamp'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'], chopped: { hz: null, duty: 0.5, meanA: 0, sure: false } }), problemsAllowed: ['chopped'] },
      });
    },
  },
  { name: 'four-latches', about: 'central locking: four latches at once lock, unlock and lock again; each moves for 50 to 90 ms and then stalls until the controller lets go', make: fourLatches },
];

function heaterAndFan(dice: Dice): Scene {
  const holds = holdsOf(oneHold(dice, [3, 6]));
  const openV = dice.between(12.2, 14.2);
  const runA = dice.between(0.3, 0.8);
  const built = build({ openV, runA, standingA: runA * dice.between(3, 4.5), noLoadRpm: dice.between(3000, 5000), startS: dice.between(0.08, 0.2), poles: 2, segments: dice.pick([3, 5]), batteryOhm: 0.008, wireOhm: 0.02 }, dice);
  const motor = new CommutatedMotor(built.spec, fan(built), switched(holds), built.contactOhm);
  const ohm = openV / dice.between(4, 7);
  const heater = new Drawing(openV, (timeS, nodeV) => (holdAt(holds, timeS) === null ? 0 : nodeV / ohm));
  const scene = otherLoad(dice, { parts: [motor, heater], holds, openV, peakA: openV / ohm + built.sheet.standingA, rest: { kinds: ['motor', 'heater'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'] }) } });
  return { ...scene, bench: { ...scene.bench, motors: [motor] } };
}

function fourLatches(dice: Dice): Scene {
  const openV = dice.between(12.2, 14.2);
  const lengthS = dice.between(0.25, 0.4);
  let atS = dice.between(0.6, 1.1);
  const holds = holdsOf([1, -1, 1].map((way) => { const fromS = atS; atS += lengthS + dice.between(1, 2); return { fromS, toS: fromS + lengthS, polarity: way as 1 | -1, brake: true }; }));
  const motors = [0, 1, 2, 3].map(() => {
    const runA = dice.between(1.2, 2);
    const built = build({ openV, runA, standingA: runA * dice.between(3, 4), noLoadRpm: dice.between(9000, 12_000), startS: dice.between(0.01, 0.018), poles: 2, segments: dice.pick([3, 5]), batteryOhm: 0.008, wireOhm: 0.03 }, dice);
    const end = built.runRad * dice.between(0.045, 0.07);
    const springNm = (built.spec.kVs * built.sheet.standingA) / (0.3 * 2 * Math.PI);
    const plain = dry(built);
    const motor = new CommutatedMotor(built.spec, (angle, speed, timeS) => {
      const friction = plain(angle, speed, timeS);
      const over = angle > end ? angle - end : angle < 0 ? angle : 0;
      // the ends are hard; what is wound up there is lost
      return over === 0 ? friction : { activeNm: 0.6 * springNm * over, movingNm: friction.movingNm + 0.4 * springNm * Math.abs(over), restNm: friction.restNm + 0.6 * springNm * Math.abs(over) };
    }, switched(holds), built.contactOhm);
    return { motor, standingA: built.sheet.standingA };
  });
  const standingA = motors.reduce((sum, one) => sum + one.standingA, 0);
  const scene = otherLoad(dice, {
    parts: motors.map((one) => one.motor), holds, openV, peakA: standingA, look: { rateHz: dice.pick([1000, 2000, 3300]) },
    rest: { kinds: ['latch', 'motor'], standingA, levelsJudged: false, verdict: { right: ['normal', 'stalled'], honest: ['locked', 'suspect'] }, facts: () => ({ right: ['normal', 'stalled'], alsoHonest: ['locked', 'suspect'], noPeak: true }) },
  });
  return { ...scene, bench: { ...scene.bench, motors: motors.map((one) => one.motor) } };
}
