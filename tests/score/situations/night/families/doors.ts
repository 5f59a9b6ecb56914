import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { someWake } from '../stock.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import type { ParkedNight } from '../vehicle.ts';
import { parked } from './plain.ts';

function slowest(night: ParkedNight): number {
  return Math.max(...night.modules.map((module) => module.timeoutS));
}

function close(chance: Chance, night: ParkedNight, label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(chance), label: { tags: ['doors'], ...label } });
}

/** People come by `count` times; between and after the visits the vehicle goes back to sleep. */
function visits(chance: Chance, count: number, openS: () => number, extraA = 0): ParkedNight {
  const slowestS = chance.between(120, 900);
  const night = parked(chance, { hours: chance.between(2, 3) + count * 1.2, slowestS, extraA });
  const startS = slowest(night) + chance.between(900, 2400);
  const roomS = (night.durationS - startS) / count;
  for (let k = 0; k < count; k++) {
    const forS = openS();
    const latest = Math.max(0, 0.9 * (roomS - forS - slowest(night) - 900));
    night.door(startS + roomS * k + chance.between(0, latest), forS, chance.between(0.3, 2));
  }
  return night;
}

export const doorSituations: readonly NightSituation[] = [
  { name: 'one-door', line: 'somebody opens one door for 10 s to 2 minutes: lamp, burst, then the same time-outs again', make: (chance) => close(chance, visits(chance, 1, () => chance.logBetween(10, 120))) },
  { name: 'three-doors', line: 'three visits in a night: people, not wake-ups', make: (chance) => close(chance, visits(chance, 3, () => chance.logBetween(10, 90))) },
  {
    name: 'door-left-open',
    line: 'one door stays open for 10 to 30 minutes until the lamp is switched off',
    make: (chance) => close(chance, visits(chance, 1, () => chance.between(600, 1800))),
  },
  { name: 'door-on-a-drain', line: 'as one-door, on a vehicle with a drain over the limit', make: (chance) => close(chance, visits(chance, 1, () => chance.logBetween(10, 120), chance.between(0.08, 0.4))) },
  {
    name: 'door-at-the-end',
    line: 'somebody opens a door in the last minutes of the recording, to fetch the logger',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2, 6), slowestS: chance.between(180, 900) });
      night.door(night.durationS - chance.between(20, 170), 600, chance.between(0.3, 2));
      // asleep until then, and awake at the end: either way of putting it is true
      return close(chance, night, { right: ['asleep', 'too-short'], honest: ['unclear'], overLimit: [false, null] });
    },
  },
  {
    name: 'coming-and-going',
    line: 'doors open and close two to four times in the first twenty minutes, so the time-outs begin again',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2.5, 6), slowestS: chance.between(300, 1200) });
      for (let k = chance.whole(2, 4); k > 0; k--) night.door(chance.between(20, 1200), chance.between(4, 60), chance.between(0.3, 2));
      return close(chance, night);
    },
  },
  {
    name: 'door-and-one-wake-up',
    line: 'a visit, and one wake-up of a module at another hour',
    make: (chance) => {
      const night = visits(chance, 1, () => chance.logBetween(10, 90));
      const rests = night.rests();
      const rest = rests.reduce((best, one) => (one.endS - one.beginS > best.endS - best.beginS ? one : best));
      const shape = someWake(chance);
      night.wakeup(rest.beginS + (rest.endS - rest.beginS) * chance.between(0.3, 0.7), shape);
      return close(chance, night);
    },
  },
];
