import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor, shuntLogger } from '../sensor.ts';
import { affordableRateHz, healthyFloorA, LONGEST_TIMEOUT_S, someModules } from '../stock.ts';
import { restingVoltage } from '../supply.ts';
import type { NightCase, NightOptions, NightSituation } from '../types.ts';
import { ParkedNight, type Module } from '../vehicle.ts';

/** An ordinary vehicle: `extraA` is what some circuit draws for good beside the sleeping modules. */
export function parked(chance: Chance, how: { hours: number; slowestS?: number; floorA?: number; extraA?: number; lastStepA?: number; wantedHz?: number }): ParkedNight {
  const durationS = how.hours * 3600;
  const modules = someModules(chance, {
    slowestS: how.slowestS ?? chance.logBetween(120, 1800),
    floorA: how.floorA ?? healthyFloorA(chance),
    ...(how.lastStepA === undefined ? {} : { lastStepA: how.lastStepA }),
  });
  const night = new ParkedNight(chance, durationS, affordableRateHz(durationS, how.wantedHz ?? chance.pick([10, 20])), modules);
  if (how.extraA !== undefined) night.constant(how.extraA);
  return night;
}

function plainNight(chance: Chance, night: ParkedNight, options: NightOptions = {}): NightCase {
  night.finish();
  const voltageV = chance.yes() ? restingVoltage(chance, night.wave) : null;
  return recorded(night, { sensor: goodSensor(chance), options, voltageV, label: { tags: ['plain'] } });
}

/** Jeep KJ 2007, key-off module table (maxima): 130.2 mA together, 10.9 mA once the transmission controller sleeps after 20 min. */
export const PUBLISHED_MODULES: readonly Module[] = [
  ...[0.003, 0.001, 0.00475, 0.00095, 0.00044, 0.00008].map((ampsA) => ({ awakeA: ampsA, sleepA: ampsA, timeoutS: 0, stir: 0 })),
  { awakeA: 0.12, sleepA: 0.0007, timeoutS: 1200, stir: 0 },
];

export const plainSituations: readonly NightSituation[] = [
  { name: 'quiet-night', line: 'modules time out one by one, then a healthy floor until the morning', make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(1.5, 8) })) },
  {
    name: 'late-last-module',
    line: 'as quiet-night, but the last module sleeps only after 60 to 75 minutes',
    make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(2, 4), slowestS: chance.between(3600, LONGEST_TIMEOUT_S) })),
  },
  {
    name: 'published-modules',
    line: 'the published module table of one vehicle: 130 mA, and 10.9 mA after 20 minutes',
    make: (chance) => {
      const durationS = 3600 * chance.between(1.5, 3);
      return plainNight(chance, new ParkedNight(chance, durationS, affordableRateHz(durationS, 10), PUBLISHED_MODULES));
    },
  },
  { name: 'steady-drain', line: 'as quiet-night, but one circuit draws 70 to 800 mA for good', make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(2, 8), extraA: chance.logBetween(0.07, 0.8) })) },
  { name: 'just-under-limit', line: 'a floor at 70 to 88 percent of the limit, measured well', make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(2, 5), floorA: chance.between(0.035, 0.044) })) },
  { name: 'just-over-limit', line: 'a floor at 114 to 140 percent of the limit, measured well', make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(2, 5), floorA: chance.between(0.057, 0.07) })) },
  {
    name: 'other-limit',
    line: 'the limit given is 30 or 100 mA, and the floor lies on the other side of it than of 50 mA',
    make: (chance) => {
      const low = chance.yes();
      return plainNight(chance, parked(chance, { hours: chance.between(2, 5), floorA: low ? chance.between(0.036, 0.046) : chance.between(0.06, 0.085) }), { limitA: low ? 0.03 : 0.1 });
    },
  },
  {
    name: 'lamp-left-on',
    line: 'everything sleeps but one lamp of 0.4 to 2 A, cold when the recording begins',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.7, 5) });
      const lampA = chance.between(0.4, 2);
      night.constant(lampA);
      if (chance.yes()) night.wave.decay(0, 1, lampA * 8, 0.04);
      return plainNight(chance, night);
    },
  },
  {
    name: 'lamp-fading',
    line: 'as lamp-left-on, its current falling by 2 to 8 percent with the voltage of the battery, which is recorded too',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(3, 7) });
      const lampA = chance.between(0.4, 2);
      const fall = chance.between(0.02, 0.08);
      night.constant(lampA * (1 - fall / 2));
      const sag = (tS: number): number => 0.5 - tS / night.durationS;
      night.wave.shape(0, night.durationS, (tS) => lampA * fall * sag(tS));
      night.finish();
      // a filament's current goes with about the square root of the voltage
      const voltageV = restingVoltage(chance, night.wave).map((volts, i) => volts + 12 * 2 * fall * (sag(i * night.wave.stepS) - 0.5));
      return recorded(night, { sensor: goodSensor(chance), voltageV, label: { tags: ['slow decay'] } });
    },
  },
  {
    name: 'big-vehicle',
    line: 'a bus: 8 to 30 A while it cycles down, a floor of 60 to 85 mA, the limit set to 100 mA',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2, 5), floorA: chance.between(0.06, 0.085) });
      const fanS = chance.between(60, 400);
      night.load(0, fanS, chance.between(8, 25));
      night.finish();
      // two batteries in series
      const voltageV = chance.yes() ? restingVoltage(chance, night.wave).map((volts) => 2 * volts) : null;
      return recorded(night, { sensor: shuntLogger(chance), options: { limitA: 0.1 }, voltageV, label: { tags: ['plain'] } });
    },
  },
  {
    name: 'tiny-vehicle',
    line: 'a small vehicle: 50 to 300 mA awake, 0.5 to 3 mA asleep',
    make: (chance) => {
      const durationS = 3600 * chance.between(1.5, 4);
      const sleepA = chance.between(0.0005, 0.003);
      const modules: Module[] = [
        { awakeA: chance.between(0.03, 0.1), sleepA: sleepA / 2, timeoutS: chance.between(20, 120), stir: 0 },
        { awakeA: chance.between(0.02, 0.2), sleepA: sleepA / 2, timeoutS: chance.between(130, 900), stir: 0.02 },
      ];
      const night = new ParkedNight(chance, durationS, affordableRateHz(durationS, 10), modules);
      night.finish();
      return recorded(night, { sensor: { ...shuntLogger(chance), resolutionA: 0.0001, noiseA: 0.0002 }, label: { tags: ['plain'] } });
    },
  },
  {
    name: 'battery-given',
    line: 'as steady-drain, with the capacity of the battery given',
    make: (chance) => plainNight(chance, parked(chance, { hours: chance.between(2, 6), extraA: chance.logBetween(0.07, 0.5) }), { batteryAh: chance.pick([45, 60, 70, 95]) }),
  },
];
