import type { Chance } from '../chance.ts';
import { levelOf } from '../label.ts';
import type { NightSituation } from '../types.ts';
import { closed, yardNight } from './vehicles.ts';

/** Things that draw at night and are no control unit going to sleep. */
export const yardLoads: readonly NightSituation[] = [
  {
    name: 'trailer-battery',
    line: 'a trailer\'s battery fills itself from the vehicle\'s through the charging line: some amperes that die away over hours',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(6, 8), slowestS: chance.between(300, 1200) });
      // two batteries 0.1 to 0.3 V apart over 40 to 80 milliohm of line: 2 to 6 A, less as they come together
      const ampsA = chance.between(0.1, 0.3) / chance.between(0.04, 0.08);
      const tauS = chance.between(1200, 2400);
      night.wave.shape(0, night.durationS, (tS) => ampsA * Math.exp(-tS / tauS));
      const level = levelOf(night);
      const trifleS = tauS * Math.log(ampsA / Math.max(0.002, 0.1 * level.meanA));
      // the definitions count what is still awake; what dies away may be called over anywhere from a trifle on
      return closed(night, { asleep: { begins: [{ fromS: Math.max(1200, trifleS - tauS), toS: trifleS + 1.5 * tauS }], level, must: true }, averageA: null });
    },
  },
  {
    name: 'alarm-goes-off',
    line: 'the alarm goes off once: half a minute of horn and indicators, twice a second, then the body computer counts down again',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(3, 6), slowestS: chance.between(300, 900) });
      const atS = night.durationS * chance.between(0.35, 0.65);
      const forS = chance.between(25, 30);
      // horn of 4 to 6 A, four indicators of 21 W and their repeaters
      for (let tS = 0; tS < forS; tS += 0.7) night.wave.box(atS + tS, atS + tS + 0.35, chance.between(4, 6) + 7.5);
      night.stir(atS, forS);
      return closed(night);
    },
  },
  {
    name: 'fan-after-run',
    line: 'a hot engine: the fan runs on by turns for the first minutes, 8 to 18 A, and its pump with 1 A; parked from the beginning',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(2, 4), slowestS: chance.between(900, 1500) });
      const fanA = chance.between(8, 18);
      let atS = chance.between(5, 40);
      for (let turn = chance.whole(2, 4); turn > 0; turn--) {
        const forS = chance.between(40, 130);
        night.load(atS, atS + forS, fanA);
        night.wave.decay(atS, atS + forS, fanA * 2.5, 0.3);
        atS += forS + chance.between(20, 60);
      }
      night.load(0, atS, chance.between(0.7, 1.3));
      return closed(night);
    },
  },
  {
    name: 'heater-by-the-clock',
    line: 'a parking heater starts by its clock before dawn: glow plug, then fan and pump for half an hour, once',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(6, 9), slowestS: chance.between(300, 1200) });
      const atS = night.durationS * chance.between(0.6, 0.75);
      const glowS = chance.between(90, 150);
      const heatS = chance.between(1200, 2400);
      const runA = chance.between(2, 3.6);
      night.wakeup(atS, { burstA: runA + chance.between(7, 11), burstS: glowS, tailA: runA, tailS: heatS });
      return closed(night);
    },
  },
  {
    name: 'cool-box',
    line: 'a cool box in the boot: its compressor runs some minutes out of every quarter of an hour, all night',
    make: (chance) => {
      const hours = chance.between(5, 7);
      const night = yardNight(chance, { hours, slowestS: chance.between(300, 1200) });
      const offS = chance.between(500, 900);
      let atS = 1500 + chance.between(0, offS);
      while (atS < night.durationS - 700) {
        const onS = chance.between(200, 320);
        night.wakeup(atS, { burstA: chance.between(4.2, 4.8), burstS: onS, tailA: 0, tailS: 0 });
        atS += onS + offS * chance.between(0.95, 1.05);
      }
      const meanS = (200 + 320) / 2 + offS;
      return closed(night, { right: ['waking', 'drain'], period: { meanS, must: true } });
    },
  },
  {
    name: 'brake-reclamps',
    line: 'the parking brake clamps once more as the discs cool: a second of 8 to 14 A, two or three times in the first hour and a half',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(2.5, 4), slowestS: chance.between(280, 600) });
      for (const atS of [chance.between(900, 1500), chance.between(2400, 3000), chance.between(4500, 5200)].slice(0, chance.whole(2, 3))) {
        night.wave.box(atS, atS + chance.between(0.6, 1.2), chance.between(8, 14));
        night.stirred.push({ fromS: atS - 1, toS: atS + 3 });
      }
      return closed(night);
    },
  },
  {
    name: 'door-switch-flutters',
    line: 'a door\'s worn switch flutters: every few minutes the body computer starts to count again, and never sleeps',
    make: (chance) => {
      const slowestS = 1200;
      const night = yardNight(chance, { hours: chance.between(2.2, 4), slowestS });
      let atS = chance.between(100, 400);
      while (atS < night.durationS) {
        night.door(atS, chance.between(0.3, 6), chance.between(0.4, 0.9));
        atS += chance.between(60, 700);
      }
      // the slow time-outs never run: what they hold awake is a steady current, as of a stuck module, and may be reported as its level
      const heldA = night.modules.filter((module) => module.timeoutS >= 700).reduce((sum, module) => sum + module.awakeA - module.sleepA, 0);
      const levelA = night.floorA + heldA;
      return closed(night, { right: ['awake', 'drain'], honest: ['too-short', 'unclear'], asleep: { begins: [{ fromS: 60, toS: night.durationS }], level: { meanA: levelA, floorA: levelA }, must: false }, overLimit: [true, null], averageA: null });
    },
  },
  {
    name: 'drain-begins-late',
    line: 'a relay sticks in the night: from then on 0.15 to 0.6 A flow for good, recorded for two hours and more',
    make: (chance) => late(chance, []),
  },
  {
    name: 'gap-then-drain',
    line: 'as drain-begins-late, but the logger was off for two to three hours around it',
    make: (chance) => late(chance, [chance.between(0.4, 0.8), chance.between(1.4, 2.2)]),
  },
  {
    name: 'creeping-leak',
    line: 'water creeps into a connector: from a healthy floor the current grows by and by to 0.15 to 0.5 A over the night',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(6, 9), slowestS: chance.between(300, 1200) });
      const mostA = chance.between(0.15, 0.5);
      const fromS = chance.between(3600, 7200);
      const rests = night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
      const floorA = night.floorA;
      night.wave.shape(fromS, night.durationS, (tS) => (mostA * (tS - fromS)) / (night.durationS - fromS));
      // it ends far above the limit and nothing comes back: a drain that grows. The level may be any that was there
      return closed(night, { right: ['drain', 'awake'], honest: ['too-short', 'unclear'], asleep: { begins: [...rests, { fromS: 0, toS: night.durationS }], level: { meanA: floorA + mostA / 2, floorA }, must: false }, overLimit: [true, null], stirred: [{ fromS, toS: night.durationS }], averageA: null });
    },
  },
  {
    name: 'long-cycles',
    line: 'a relay goes on and off all night: 0.2 to 0.6 A for half an hour, then half an hour and more of rest',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(7, 9), slowestS: chance.between(300, 1200) });
      const ampsA = chance.between(0.2, 0.6);
      const offS = chance.between(1900, 2700);
      for (let atS = 1800 + chance.between(0, 600); atS < night.durationS - 3000;) {
        const onS = chance.between(1500, 2100);
        night.wakeup(atS, { burstA: ampsA, burstS: onS, tailA: 0, tailS: 0 });
        atS += onS + offS * chance.between(0.97, 1.03);
      }
      const meanS = (1500 + 2100) / 2 + offS;
      return closed(night, { right: ['waking', 'drain', 'awake'], period: { meanS, must: false } });
    },
  },
];

function late(chance: Chance, gapHours: readonly number[]): ReturnType<typeof closed> {
  const atS = chance.between(2.6, 3.4) * 3600;
  const night = yardNight(chance, { hours: atS / 3600 + chance.between(2.6, 3.6), slowestS: chance.between(300, 1200) });
  const ampsA = chance.between(0.15, 0.6);
  const rests = night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
  const floorA = night.floorA;
  night.wave.box(atS, night.durationS, ampsA);
  const missing = gapHours.length === 0 ? [] : [{ fromS: atS - gapHours[0]! * 3600, toS: atS + gapHours[1]! * 3600 }];
  const beginsThen = { fromS: missing[0]?.fromS ?? atS, toS: (missing[0]?.toS ?? atS) + 60 };
  // a steady current above the limit stays: a drain. Level and rest may be those before or after
  return closed(night, { right: ['drain', 'awake'], honest: ['too-short', 'unclear'], asleep: { begins: [...rests, beginsThen], level: { meanA: floorA + ampsA, floorA }, must: false }, overLimit: [true, null], stirred: [{ fromS: atS - 5, toS: night.durationS }], averageA: null }, { missing });
}
