import type { Chance } from '../chance.ts';
import { promptly, pullAll } from '../fuses.ts';
import { recorded } from '../label.ts';
import { goodSensor, hallSensor, shuntLogger, smallClamp, type Sensor } from '../sensor.ts';
import type { Finding, NightCase, NightLabel, NightOptions, NightSituation } from '../types.ts';
import type { ParkedNight } from '../vehicle.ts';
import { drain, finished, fuseBox } from './pulls.ts';
import { parked } from './plain.ts';

function close(night: ParkedNight, sensor: Sensor, tag: string, options: NightOptions = {}, label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor, options, label: { tags: [tag], ...label } });
}

/**
 * What may be said where the sensor's standard uncertainty is `uncertaintyA`: the reading may be out by two of them and its bounds reach
 * two further, so up to four from the limit to leave it undecided is right too.
 */
function nearLimit(night: ParkedNight, uncertaintyA: number, limitA = 0.05): Partial<NightLabel> {
  const over = night.floorA > limitA;
  if (Math.abs(night.floorA - limitA) > 4 * uncertaintyA) return {};
  const right: Finding[] = [over ? 'drain' : 'asleep', 'unclear'];
  return { right, honest: ['too-short'], overLimit: [over, null] };
}

/** Healthy or with a drain that is far from the limit. */
function either(chance: Chance, leastDrainA: number): ParkedNight {
  return chance.yes() ? parked(chance, { hours: chance.between(1.6, 4), floorA: chance.between(0.008, 0.025) }) : parked(chance, { hours: chance.between(1.7, 4), extraA: chance.logBetween(leastDrainA, 0.6) });
}

function zeroStated(chance: Chance): NightCase {
  const zeroUncertaintyA = chance.between(0.002, 0.012);
  const night = either(chance, 0.1);
  return close(night, { ...smallClamp(chance), zeroA: chance.normal(zeroUncertaintyA) }, 'zero stated', { zeroUncertaintyA }, nearLimit(night, zeroUncertaintyA));
}

function hallUnstated(chance: Chance): NightCase {
  const night = chance.yes() ? parked(chance, { hours: chance.between(1.7, 4), floorA: chance.between(0.008, 0.03) }) : parked(chance, { hours: chance.between(1.7, 4), extraA: chance.between(0.25, 0.8) });
  night.finish();
  const sensor = hallSensor(chance);
  // such a sensor cannot prove a healthy floor without its zero (ACS712: 14 mA per 10 degrees), only a large drain
  const level = { meanA: night.floorA, floorA: night.floorA };
  const begins = night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
  const open: Partial<NightLabel> = night.floorA < 0.05 ? { right: ['asleep', 'unclear'], overLimit: [false, null], asleep: { begins, level, must: false } } : {};
  return recorded(night, { sensor, label: { ...open, averageA: null, tags: ['zero not stated'] } });
}

type Drift = (tS: number) => number;

function drifting(chance: Chance, hours: number, driftA: Drift, floorA = chance.between(0.008, 0.022)): NightCase {
  return close(parked(chance, { hours, floorA }), { ...smallClamp(chance), driftA }, 'drifting clamp');
}

function pullsBehind(chance: Chance, perHourA: number, options: NightOptions): NightCase {
  const startS = chance.between(5200, 7200);
  const box = fuseBox(chance, { drainA: drain(chance), startS });
  const pulled = pullAll(box.night, box.circuits, startS, promptly(chance));
  return finished(box, pulled, { sensor: { ...smallClamp(chance), driftA: (tS) => (perHourA * tS) / 3600 }, options, label: { tags: ['pulls', 'pulls, drifting clamp'], ...nearLimit(box.night, ((options.driftPerHourA ?? 0) * box.night.durationS) / 3600) } });
}

/** Somebody moves an open clamp at rest: it swings for seconds, then reads the earth's field in another direction. */
function moved(chance: Chance, stepA: number): NightCase {
  const night = parked(chance, { hours: chance.between(2.5, 5), floorA: chance.between(0.012, 0.02) });
  const atS = night.durationS * chance.between(0.4, 0.7);
  const forS = chance.between(2, 6);
  night.finish();
  const swing = chance.between(0.05, 0.4);
  const driftA: Drift = (tS) => (tS < atS ? 0 : tS < atS + forS ? swing * Math.sin(3 * (tS - atS)) : stepA);
  const span = { fromS: atS - 5, toS: night.durationS };
  // what the clamp was before is as good as after, unless it was zeroed: not to decide is right
  return recorded(night, { sensor: { ...smallClamp(chance), driftA }, label: { right: ['asleep', 'unclear'], overLimit: [false, null], stirred: [span], dips: [span], averageA: null, tags: ['clamp moved'] } });
}

export const clampSituations: readonly NightSituation[] = [
  { name: 'zero-stated', line: "a clamp whose zero is out by as much as was stated with it", make: zeroStated },
  {
    name: 'zero-not-stated',
    line: 'a clamp whose zero is out by a few milliamps, of which nothing was stated',
    make: (chance) => close(either(chance, 0.09), smallClamp(chance), 'zero not stated'),
  },
  { name: 'hall-not-stated', line: 'a noisy sensor of +/-15 A whose zero is out by some tens of milliamps, of which nothing was stated', make: hallUnstated },
  {
    name: 'hall-stated',
    line: 'a noisy sensor of +/-15 A, zeroed, with what is left of its zero stated',
    make: (chance) => {
      const zeroUncertaintyA = chance.between(0.004, 0.01);
      const night = either(chance, 0.15);
      return close(night, { ...hallSensor(chance), zeroA: chance.normal(zeroUncertaintyA) }, 'zero stated', { zeroUncertaintyA }, nearLimit(night, zeroUncertaintyA));
    },
  },
  {
    name: 'drift-not-stated',
    line: 'the zero drifts evenly by 1 to 4 mA an hour, of which nothing was stated',
    make: (chance) => {
      const hours = chance.between(3, 6);
      const floorA = chance.between(0.012, 0.022);
      // never so far that the reading turns negative or passes the limit: that is another question
      const perHourA = chance.sign() * Math.min(chance.between(0.001, 0.004), (0.8 * floorA) / hours);
      return drifting(chance, hours, (tS) => (perHourA * tS) / 3600, floorA);
    },
  },
  {
    name: 'drift-stated',
    line: 'the zero drifts evenly, as much as was stated with it',
    make: (chance) => {
      const driftPerHourA = chance.between(0.001, 0.003);
      const perHourA = chance.normal(driftPerHourA);
      const night = parked(chance, { hours: chance.between(3, 6), floorA: chance.between(0.008, 0.022) });
      return close(night, { ...smallClamp(chance), driftA: (tS) => (perHourA * tS) / 3600 }, 'drift stated', { driftPerHourA }, nearLimit(night, (driftPerHourA * night.durationS) / 3600));
    },
  },
  {
    name: 'drift-on-a-drain',
    line: 'as drift-not-stated, on a drain far above the limit',
    make: (chance) => {
      const perHourA = chance.sign() * chance.between(0.001, 0.004);
      const night = parked(chance, { hours: chance.between(3, 6), extraA: chance.between(0.12, 0.6) });
      return close(night, { ...smallClamp(chance), driftA: (tS) => (perHourA * tS) / 3600 }, 'drifting clamp');
    },
  },
  {
    name: 'day-and-night',
    line: 'the zero follows the temperature of the night: a half wave of 5 to 12 mA over twelve hours',
    make: (chance) => {
      const swingA = chance.sign() * chance.between(0.005, 0.012);
      return drifting(chance, chance.between(8, 12), (tS) => swingA * Math.sin((Math.PI * tS) / 43_200));
    },
  },
  {
    name: 'warming-up',
    line: 'the sensor warms up: its zero creeps by 5 to 20 mA in the first hour and then stays',
    make: (chance) => {
      const creepA = chance.sign() * chance.between(0.005, 0.02);
      const tauS = chance.between(600, 1800);
      // it was zeroed warm, so the end is right and the beginning is not
      const night = parked(chance, { hours: chance.between(3, 6), floorA: chance.between(0.012, 0.022) });
      // real current that dies away looks the same, so rest may also be reported from when the creep is over
      const begins = night.modules.map((module) => module.timeoutS).sort((left, right) => right - left).slice(0, 1).map((fromS) => ({ fromS: fromS - 30, toS: fromS + 4 * tauS }));
      return close(night, { ...smallClamp(chance), driftA: (tS) => creepA * Math.exp(-tS / tauS) }, 'drifting clamp', {}, { asleep: { begins, level: { meanA: night.floorA, floorA: night.floorA }, must: true } });
    },
  },
  {
    name: 'gain-stated',
    line: 'a clamp that reads a few percent too much or too little, as stated with it, on a drain',
    make: (chance) => {
      const gainUncertaintyPercent = chance.between(1, 4);
      const night = parked(chance, { hours: chance.between(1.7, 4), extraA: chance.logBetween(0.12, 0.8) });
      return close(night, { ...smallClamp(chance), gain: 1 + chance.normal(gainUncertaintyPercent / 100) }, 'gain stated', { gainUncertaintyPercent });
    },
  },
  { name: 'clamp-moved-down', line: 'somebody moves the clamp at rest, and from then on it reads 30 to 150 mA less', make: (chance) => moved(chance, -chance.between(0.03, 0.15)) },
  { name: 'clamp-moved-up', line: 'somebody moves the clamp at rest, and from then on it reads 10 to 25 mA more', make: (chance) => moved(chance, chance.between(0.01, 0.025)) },
  {
    name: 'coarse-steps',
    line: 'a logger that writes steps of 5 to 20 mA with hardly any noise',
    make: (chance) => {
      const resolutionA = chance.pick([0.005, 0.01, 0.02]);
      const night = either(chance, 0.12);
      return close(night, { ...shuntLogger(chance), noiseA: resolutionA * chance.between(0.02, 0.5), resolutionA }, 'resolution');
    },
  },
  {
    name: 'hum',
    line: 'mains hum of 3 to 30 mA from a lead beside the clamp, which a slow logger reads as a slow beat',
    make: (chance) => close(either(chance, 0.1), { ...goodSensor(chance), hum: { ampsA: chance.logBetween(0.003, 0.03), frequencyHz: chance.pick([50, 60]) + chance.sign() * chance.between(0.02, 0.08) } }, 'hum'),
  },
  { name: 'pulls-behind-drift', line: 'fuses pulled while the zero of the clamp drifts by 5 to 20 mA an hour', make: (chance) => pullsBehind(chance, chance.sign() * chance.between(0.005, 0.02), {}) },
  {
    name: 'pulls-behind-drift-stated',
    line: 'as pulls-behind-drift, the drift being as much as was stated',
    make: (chance) => {
      const driftPerHourA = chance.between(0.004, 0.01);
      return pullsBehind(chance, chance.normal(driftPerHourA), { driftPerHourA });
    },
  },
];
