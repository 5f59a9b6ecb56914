import { levelOf } from '../label.ts';
import { shuntLogger, smallClamp } from '../sensor.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import type { ParkedNight } from '../vehicle.ts';
import { closed, drainA, yardNight } from './vehicles.ts';

/** changes what was written down, reading by reading */
function rewritten(night: NightCase, change: (value: number, tS: number) => number): NightCase {
  const { timeS, currentA } = night.trace;
  return { ...night, trace: { ...night.trace, currentA: currentA.map((value, index) => change(value, timeS[index]!)) } };
}

function restsOf(night: ParkedNight): { fromS: number; toS: number }[] {
  return night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
}

/** The drain was plain until `atS`; what is written after that is no current of the vehicle's. */
function drainUntil(night: ParkedNight, atS: number): Partial<NightLabel> {
  return { right: ['drain', 'unclear'], honest: ['too-short', 'awake'], overLimit: [true, null], asleep: { begins: restsOf(night), level: levelOf(night), must: false }, stirred: [{ fromS: atS - 5, toS: night.durationS }], dips: [{ fromS: atS - 5, toS: night.durationS }], averageA: null };
}

export const yardSensors: readonly NightSituation[] = [
  {
    name: 'clamp-falls-off',
    line: 'the clamp falls off the lead in the night: a drain of 0.12 to 0.6 A reads nothing from then on',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(4.5, 6), extraA: drainA(chance), slowestS: chance.between(300, 1200) });
      const atS = chance.between(2.2, 3.2) * 3600;
      const fieldA = chance.between(-0.002, 0.002);
      const noiseA = chance.between(0.001, 0.002);
      return rewritten(closed(night, drainUntil(night, atS), { sensor: smallClamp(chance) }), (value, tS) => (tS < atS ? value : fieldA + chance.normal(noiseA)));
    },
  },
  {
    name: 'zeroed-under-current',
    line: 'the logger restarts in the night (half a minute is missing) and takes its zero anew while the drain flows: it reads next to nothing from then on',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(4.5, 6), extraA: drainA(chance), slowestS: chance.between(300, 1200) });
      const atS = chance.between(2.2, 3.2) * 3600;
      const backS = atS + chance.between(20, 60);
      const takenA = levelOf(night).meanA + chance.normal(0.001);
      return rewritten(closed(night, drainUntil(night, atS), { sensor: smallClamp(chance), missing: [{ fromS: atS, toS: backS }] }), (value, tS) => (tS < backS ? value : value - takenA));
    },
  },
  {
    name: 'clamp-switches-itself-off',
    line: 'the clamp switches itself off after 15 to 30 minutes, with control units still awake: one unchanging reading near nothing from then on',
    make: (chance) => {
      const offS = chance.pick([900, 1200, 1800]);
      const night = yardNight(chance, { hours: chance.between(2, 4), slowestS: chance.between(2400, 4000) });
      const restA = 0.001 * chance.whole(-2, 2);
      // it may be asleep later, but nothing of it is in the record
      const label: Partial<NightLabel> = { right: ['too-short', 'unclear'], honest: [], asleep: null, overLimit: [null], stirred: [{ fromS: offS - 5, toS: night.durationS }], dips: [{ fromS: offS - 5, toS: night.durationS }], averageA: null };
      return rewritten(closed(night, label, { sensor: smallClamp(chance) }), (value, tS) => (tS < offS ? value : restA));
    },
  },
  {
    name: 'tram-passes',
    line: 'a tram\'s return current sways the clamp every few minutes: 10 to 40 mA up or down for 5 to 25 s, none of it in the lead',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(3, 6), floorA: chance.between(0.014, 0.024), slowestS: chance.between(300, 1200) });
      const passes: { atS: number; forS: number; ampsA: number }[] = [];
      for (let atS = chance.between(0, 400); atS < night.durationS; atS += chance.between(240, 700)) passes.push({ atS, forS: chance.between(5, 25), ampsA: chance.sign() * chance.between(0.01, 0.04) });
      const driftA = (tS: number): number => {
        const pass = passes.find((one) => tS >= one.atS && tS < one.atS + one.forS);
        return pass === undefined ? 0 : pass.ampsA * Math.sin((Math.PI * (tS - pass.atS)) / pass.forS) ** 2;
      };
      return closed(night, {}, { sensor: { ...smallClamp(chance), driftA } });
    },
  },
  {
    name: 'logger-thins-out',
    line: 'the logger writes ten readings a second for half an hour and then one every five seconds',
    make: (chance) => {
      const night = yardNight(chance, { hours: 2.4, extraA: chance.yes() ? drainA(chance) : 0, slowestS: chance.between(300, 1500), hz: 10 });
      const whole = closed(night, {}, { sensor: shuntLogger(chance) });
      const { timeS, currentA } = whole.trace;
      const keep = [...timeS.keys()].filter((index) => timeS[index]! < 1800 || index % 50 === 0);
      return { ...whole, trace: { ...whole.trace, timeS: Float64Array.from(keep, (index) => timeS[index]!), currentA: Float32Array.from(keep, (index) => currentA[index]!), voltageV: null } };
    },
  },
  {
    name: 'bypass-first',
    line: 'the logger sits in the lead with a bypass wire beside it for the first minutes, as the makers ask; only then it sees all of the current',
    make: (chance) => {
      // Subaru and others keep a bypass wire while modules settle; 10 milliohm of shunt beside 1 to 3 of wire
      const share = (() => { const wire = chance.between(1, 3); return wire / (wire + 10); })();
      const offS = chance.between(1500, 2400);
      const night = yardNight(chance, { hours: chance.between(2.2, 3.5), extraA: chance.yes() ? drainA(chance) : 0, slowestS: chance.between(300, 1200) });
      const begins = [...restsOf(night), { fromS: offS - 30, toS: offS + 30 }];
      return rewritten(closed(night, { asleep: { begins, level: levelOf(night), must: true }, stirred: [{ fromS: 0, toS: offS + 10 }], averageA: null }, { sensor: shuntLogger(chance) }), (value, tS) => (tS < offS ? value * share : value));
    },
  },
  {
    name: 'beyond-the-range',
    line: 'the meter sits in its 400 mA range and the drain is larger: every reading is at the end of the range',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(2, 4), extraA: chance.between(0.55, 1.2), slowestS: chance.between(300, 1200) });
      // what flows is more than that, and nobody can say how much: a level of 400 mA is none
      return closed(night, { asleep: { begins: [{ fromS: 0, toS: night.durationS }], level: levelOf(night), must: false }, averageA: null }, { sensor: { ...shuntLogger(chance), rangeA: 0.4 } });
    },
  },
  {
    name: 'battery-gives-up',
    line: 'a drain of 0.5 to 1 A empties a weak battery: its volts break down in the last hour, and the current with them',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(4.5, 6), extraA: chance.between(0.5, 1), slowestS: chance.between(300, 1200) });
      const downS = night.durationS - chance.between(3600, 5400);
      // 12.2 to 11.6 V while there is charge, then down to 3 to 5 V in twenty minutes (the end of any lead-acid discharge curve)
      const endV = chance.between(3, 5);
      const volt = (tS: number): number => 12.2 - (0.6 * tS) / night.durationS - (tS < downS ? 0 : (11.6 - endV) * (1 - Math.exp(-(tS - downS) / 600)));
      const level = levelOf(night);
      const case_ = closed(night, { right: ['drain', 'unclear'], honest: ['too-short', 'awake'], overLimit: [true, null], asleep: { begins: restsOf(night), level, must: false }, stirred: [{ fromS: downS - 60, toS: night.durationS }], averageA: null }, { sensor: shuntLogger(chance), voltageV: night.wave.amps.length > 0 ? Float32Array.from(night.wave.amps, (_, index) => volt(index * night.wave.stepS) + chance.normal(0.004)) : null });
      // electronics let go below 8 to 9 V; what is left is a resistance of some tens of ohm
      return rewritten(case_, (value, tS) => (volt(tS) > 8.5 ? value : (0.03 * value * volt(tS)) / 12));
    },
  },
  {
    name: 'clamp-put-back-reversed',
    line: 'somebody takes the clamp off in the night to look at it and puts it back the other way round',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(4, 6), slowestS: chance.between(300, 1200) });
      const atS = chance.between(1.8, 2.8) * 3600;
      const offS = chance.between(10, 60);
      const span = { fromS: atS - 5, toS: night.durationS };
      const label: Partial<NightLabel> = { right: ['asleep', 'unclear'], honest: ['too-short'], overLimit: [false, null], asleep: { begins: restsOf(night), level: levelOf(night), must: false }, stirred: [span], dips: [span], averageA: null };
      return rewritten(closed(night, label, { sensor: smallClamp(chance) }), (value, tS) => (tS < atS ? value : tS < atS + offS ? chance.normal(0.002) : -value));
    },
  },
];

/** Current the other way: what charges in the night. */
export const yardCharging: readonly NightSituation[] = [
  {
    name: 'pulse-maintainer',
    line: 'a maintenance charger waits and gives a pulse every few minutes: 0.5 to 1.5 A into the battery for 10 to 30 s, healthy rest between',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(2.5, 5), slowestS: chance.between(300, 1200) });
      const everyS = chance.between(180, 420);
      const forS = chance.between(10, 30);
      const intoA = chance.between(0.5, 1.5);
      for (let atS = chance.between(0, everyS); atS < night.durationS; atS += everyS) night.wave.box(atS, atS + forS, -intoA);
      // to tell the floor between the pulses is true; so is that current flows into the battery
      return closed(night, { right: ['asleep', 'unclear'], honest: ['too-short'], overLimit: [false, null], asleep: { begins: restsOf(night), level: levelOf(night), must: false }, stirred: [{ fromS: 0, toS: night.durationS }], dips: [{ fromS: 0, toS: night.durationS }], averageA: null, keyOff: { fromS: 0, toS: night.durationS, must: false } });
    },
  },
  {
    name: 'tops-itself-up',
    line: 'a hybrid tops its 12 V battery up from the drive battery once in the night: 8 to 25 A into it for a quarter of an hour and more',
    make: (chance) => {
      const night = yardNight(chance, { hours: chance.between(5, 8), slowestS: chance.between(300, 1200) });
      const atS = night.durationS * chance.between(0.4, 0.7);
      const forS = chance.between(900, 2400);
      const intoA = chance.between(8, 25);
      night.wave.shape(atS, atS + forS, (tS) => -(1 + (intoA - 1) * Math.exp(-(tS - atS) / 600)));
      const span = { fromS: atS - 5, toS: atS + forS + 60 };
      const begins = [...restsOf(night), { fromS: atS + forS - 30, toS: atS + forS + 60 }];
      return closed(night, { right: ['asleep', 'unclear'], honest: ['too-short'], overLimit: [false, null], asleep: { begins, level: levelOf(night), must: false }, stirred: [span], dips: [span], averageA: null, keyOff: { fromS: atS + forS, toS: atS + forS, must: false } });
    },
  },
];
