import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor, type Sensor } from '../sensor.ts';
import { affordableRateHz, healthyFloorA, someModules } from '../stock.ts';
import { charger, chargedVoltage, engineRunning, ignitionOn, restingVoltage } from '../supply.ts';
import type { NightCase, NightLabel, NightSituation, Span } from '../types.ts';
import { ParkedNight } from '../vehicle.ts';

/** A vehicle whose recording begins `beforeS` before key-off. */
function beginsBefore(chance: Chance, beforeS: number, extraA = 0): ParkedNight {
  const durationS = beforeS + chance.between(1.9, 5) * 3600;
  const modules = someModules(chance, { slowestS: chance.logBetween(120, 1500), floorA: healthyFloorA(chance) });
  const night = new ParkedNight(chance, durationS, affordableRateHz(durationS, 10), modules, beforeS);
  if (extraA > 0) night.constant(extraA);
  return night;
}

function keyOff(fromS: number, toS = fromS): NightLabel['keyOff'] {
  return { fromS, toS, must: true };
}

/** Current flows into the battery, or seems to, all the time: nothing of the rest can be reported. */
const NOTHING_TOLD: Partial<NightLabel> = { right: ['unclear'], honest: ['too-short'], asleep: null, overLimit: [null], wakeups: [], averageA: null };

function reversed(sensor: Sensor): Sensor {
  return { ...sensor, gain: -sensor.gain };
}

function engineFirst(chance: Chance, extraA: number): NightCase {
  const beforeS = chance.between(40, 900);
  const night = beginsBefore(chance, beforeS, extraA);
  const ignitionS = chance.yes() ? 0 : chance.between(3, Math.min(90, beforeS / 2));
  if (ignitionS > 0) ignitionOn(night, beforeS - ignitionS, beforeS);
  night.finish();
  engineRunning(night, beforeS - ignitionS);
  const voltageV = chance.yes() ? chargedVoltage(chance, night.wave, [{ fromS: 0, toS: beforeS - ignitionS }], chance.between(13.9, 14.5)) : null;
  return recorded(night, { sensor: goodSensor(chance), voltageV, label: { keyOff: keyOff(beforeS - ignitionS, beforeS), tags: ['begins before key-off'] } });
}

function allNight(chance: Chance, draw: (night: ParkedNight) => readonly Span[], sensor: Sensor): NightCase {
  const night = beginsBefore(chance, 0, chance.yes(0.3) ? chance.between(0.08, 0.4) : 0);
  night.finish();
  const charging = draw(night);
  const voltageV = chance.yes() ? (charging.length > 0 ? chargedVoltage(chance, night.wave, charging, chance.between(13.4, 14.4)) : restingVoltage(chance, night.wave)) : null;
  return recorded(night, { sensor, voltageV, label: { ...NOTHING_TOLD, tags: ['into the battery'] } });
}

export const beforeSituations: readonly NightSituation[] = [
  { name: 'engine-first', line: 'the engine still runs when the recording begins, then the vehicle is parked and sleeps', make: (chance) => engineFirst(chance, 0) },
  { name: 'engine-first-drain', line: 'as engine-first, with a drain over the limit', make: (chance) => engineFirst(chance, chance.logBetween(0.08, 0.5)) },
  {
    name: 'engine-first-short',
    line: 'as engine-first, but recorded for 6 to 18 minutes after key-off only, with a module still awake',
    make: (chance) => {
      const beforeS = chance.between(40, 400);
      const afterS = chance.between(360, 1080);
      const modules = someModules(chance, { slowestS: chance.between(1.2 * afterS, 4000), floorA: healthyFloorA(chance), lastStepA: chance.between(0.1, 0.5) });
      const night = new ParkedNight(chance, beforeS + afterS, 20, modules, beforeS);
      night.finish();
      engineRunning(night, beforeS);
      return recorded(night, { sensor: goodSensor(chance), label: { keyOff: keyOff(beforeS), tags: ['begins before key-off'] } });
    },
  },
  {
    name: 'ignition-first',
    line: 'the ignition is on for the first minutes, without the engine: 4 to 14 A above all that follows',
    make: (chance) => {
      const beforeS = chance.between(60, 1200);
      const night = beginsBefore(chance, beforeS);
      ignitionOn(night, 0, beforeS);
      night.finish();
      return recorded(night, { sensor: goodSensor(chance), voltageV: chance.yes() ? restingVoltage(chance, night.wave) : null, label: { keyOff: keyOff(beforeS), tags: ['begins before key-off'] } });
    },
  },
  {
    name: 'charger-first',
    line: 'a charger is on when the recording begins and is taken off in the first hours',
    make: (chance) => {
      const beforeS = chance.between(900, 7200);
      const night = beginsBefore(chance, beforeS, chance.yes(0.3) ? chance.between(0.08, 0.4) : 0);
      night.finish();
      charger(night, 0, beforeS);
      const voltageV = chance.yes() ? chargedVoltage(chance, night.wave, [{ fromS: 0, toS: beforeS }], chance.between(13.4, 14.4)) : null;
      return recorded(night, { sensor: goodSensor(chance), voltageV, label: { keyOff: keyOff(beforeS), tags: ['begins before key-off'] } });
    },
  },
  {
    name: 'charger-all-night',
    line: 'a charger stays on from beginning to end',
    make: (chance) =>
      allNight(
        chance,
        (night) => {
          charger(night, 0, night.durationS);
          return [{ fromS: 0, toS: night.durationS }];
        },
        goodSensor(chance),
      ),
  },
  {
    name: 'charger-later',
    line: 'somebody connects a charger after the vehicle has slept for an hour or more, and leaves it on',
    make: (chance) => {
      const night = beginsBefore(chance, 0);
      const fromS = night.durationS * chance.between(0.55, 0.8);
      night.finish();
      charger(night, fromS, night.durationS);
      // asleep until then is right, and so is to tell nothing of a night that ends with current into the battery
      const rest = { begins: night.rests().map((one) => ({ fromS: one.earliestS, toS: one.beginS })), level: { meanA: night.floorA, floorA: night.floorA }, must: false };
      return recorded(night, { sensor: goodSensor(chance), label: { right: ['asleep', 'unclear'], honest: ['too-short'], asleep: rest, overLimit: [false, null], stirred: [{ fromS, toS: night.durationS }], averageA: null, tags: ['into the battery'] } });
    },
  },
  {
    name: 'clamp-reversed',
    line: 'the clamp sits the wrong way round for the whole night',
    make: (chance) => allNight(chance, () => [], reversed(goodSensor(chance))),
  },
  {
    name: 'clamp-slightly-negative',
    line: 'a healthy floor read just below zero, within the zero uncertainty that was stated: not current into the battery',
    make: (chance) => {
      const night = beginsBefore(chance, 0);
      const zeroUncertaintyA = chance.between(0.012, 0.02);
      night.finish();
      const sensor = { ...goodSensor(chance), zeroA: -night.floorA - chance.between(0.001, 0.3 * zeroUncertaintyA) };
      // its upper bound may pass the limit: then not to decide is right as well; chosen to be negative, the zero is no draw from what was stated
      return recorded(night, { sensor, options: { zeroUncertaintyA }, label: { right: ['asleep', 'unclear'], overLimit: [false, null], tags: ['zero stated, chosen'] } });
    },
  },
];
