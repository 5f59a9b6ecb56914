import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { affordableRateHz, healthyFloorA, someModules } from '../stock.ts';
import { chargedVoltage } from '../supply.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import { ParkedNight } from '../vehicle.ts';

/** A small panel on the battery: the sun's half wave, with clouds, from `fromS` to `toS`. It adds to what the vehicle draws. */
function panel(night: ParkedNight, fromS: number, toS: number, peakA: number): void {
  const { chance, wave } = night;
  let cloud = 1;
  let untilS = 0;
  wave.shape(fromS, toS, (tS) => {
    if (tS > untilS) {
      cloud = chance.between(0.6, 1);
      untilS = tS + chance.logBetween(60, 1800);
    }
    return -peakA * cloud * Math.sin((Math.PI * (tS - fromS)) / (toS - fromS));
  });
}

function parkedFor(chance: Chance, hours: number, extraA = 0): ParkedNight {
  const durationS = hours * 3600;
  const night = new ParkedNight(chance, durationS, affordableRateHz(durationS, 5), someModules(chance, { slowestS: chance.between(120, 1200), floorA: healthyFloorA(chance) }));
  if (extraA > 0) night.constant(extraA);
  return night;
}

function close(chance: Chance, night: ParkedNight, label: Partial<NightLabel>, sun: { fromS: number; toS: number } | null): NightCase {
  const voltageV = sun !== null && chance.yes() ? chargedVoltage(chance, night.wave, [sun], chance.between(13, 13.8)) : null;
  return recorded(night, { sensor: goodSensor(chance), voltageV, label: { averageA: null, tags: ['into the battery'], ...label } });
}

export const sunSituations: readonly NightSituation[] = [
  {
    name: 'sun-all-day',
    line: 'parked by day under a solar panel: current into the battery nearly all the time',
    make: (chance) => {
      const night = parkedFor(chance, chance.between(4, 7));
      night.finish();
      panel(night, -7200, night.durationS + 7200, chance.between(0.4, 3));
      return close(chance, night, { right: ['unclear'], honest: ['too-short'], asleep: null, overLimit: [null] }, null);
    },
  },
  {
    name: 'sun-then-night',
    line: 'the panel feeds until dusk, then the vehicle sleeps through the dark',
    make: (chance) => {
      const night = parkedFor(chance, chance.between(7, 11));
      night.finish();
      const duskS = chance.between(5400, 10_800);
      panel(night, -chance.between(10_800, 18_000), duskS, chance.between(0.3, 2));
      const begins = [{ fromS: duskS - 1800, toS: duskS }];
      // nothing happens at dusk that would have to be reported as key-off, but to say that the dark begins there is true
      const keyOff = { fromS: duskS - 1800, toS: duskS, must: false };
      return close(chance, night, { right: ['asleep', 'unclear'], honest: ['too-short'], asleep: { begins, level: { meanA: night.floorA, floorA: night.floorA }, must: false }, overLimit: [false, null], keyOff }, { fromS: 0, toS: duskS });
    },
  },
  {
    name: 'night-then-sun',
    line: 'the vehicle sleeps through the dark, and at dawn the panel begins to feed',
    make: (chance) => {
      const night = parkedFor(chance, chance.between(7, 10));
      night.finish();
      const dawnS = night.durationS * chance.between(0.6, 0.85);
      panel(night, dawnS, dawnS + chance.between(25_000, 40_000), chance.between(0.3, 2));
      const rests = night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
      return close(chance, night, { right: ['asleep', 'unclear'], honest: ['too-short'], asleep: { begins: rests, level: { meanA: night.floorA, floorA: night.floorA }, must: false }, overLimit: [false, null], stirred: [{ fromS: dawnS - 60, toS: night.durationS }] }, null);
    },
  },
  {
    name: 'panel-hides-a-drain',
    line: 'a drain over the limit is just hidden by a weak panel: the battery is neither fed nor drained much',
    make: (chance) => {
      const drainA = chance.between(0.1, 0.3);
      const night = parkedFor(chance, chance.between(3, 5), drainA);
      night.finish();
      panel(night, -7200, night.durationS + 7200, drainA + night.floorA + chance.between(0.1, 0.5));
      return close(chance, night, { right: ['unclear'], honest: ['too-short'], asleep: null, overLimit: [null] }, null);
    },
  },
];
