import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { somePoll } from '../stock.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import type { ParkedNight } from '../vehicle.ts';
import { parked } from './plain.ts';

/** So many rows a reader follows; "a handful" and some for the time-outs before. */
const FEW_ROWS = 24;

function close(night: ParkedNight, label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(night.chance), label: { tags: ['polling'], mostLevels: FEW_ROWS, ...label } });
}

export const pollSituations: readonly NightSituation[] = [
  {
    name: 'alarm-lamp',
    line: 'the lamp of the alarm blinks every half second to every two seconds, 4 to 20 mA',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 3), floorA: chance.between(0.008, 0.025) });
      const periodS = chance.between(0.5, 2);
      night.poll({ periodS, widthS: periodS * chance.between(0.05, 0.5), heightA: chance.between(0.004, 0.02), jitter: 0 });
      return close(night);
    },
  },
  {
    name: 'polling-module',
    line: 'a module polls every 1 to 30 seconds with 10 to 250 mA, on a healthy floor',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 4), floorA: chance.between(0.006, 0.02) });
      const poll = somePoll(chance, chance.logBetween(1, 30));
      night.poll({ ...poll, widthS: Math.min(poll.widthS, (poll.periodS * 0.02) / poll.heightA) });
      return close(night);
    },
  },
  {
    name: 'two-pollers',
    line: 'two modules poll with periods of their own',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 3), floorA: chance.between(0.006, 0.015) });
      for (const periodS of [chance.between(0.7, 4), chance.between(5, 25)]) {
        const poll = somePoll(chance, periodS);
        night.poll({ ...poll, widthS: Math.min(poll.widthS, (periodS * 0.01) / poll.heightA) });
      }
      return close(night);
    },
  },
  {
    name: 'polls-on-a-drain',
    line: 'a polling module beside a steady drain over the limit',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 4), extraA: chance.logBetween(0.08, 0.4) });
      night.poll(somePoll(chance));
      return close(night);
    },
  },
  {
    name: 'busy-bus',
    line: 'a bus pulses about every second all night, 60 to 300 mA high; the mean is over the limit though the floor is not',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 3), floorA: chance.between(0.01, 0.03) });
      const periodS = chance.between(0.8, 1.3);
      const heightA = chance.between(0.15, 0.3);
      night.poll({ periodS, widthS: periodS * chance.between(0.35, 0.6), heightA, jitter: chance.between(0, 0.15) });
      // something works all night, and what it takes is a drain: both words lead to the same work
      return close(night, { right: ['drain', 'awake'], tags: ['busy'] });
    },
  },
  {
    name: 'busy-bus-small',
    line: 'as busy-bus, but so small that the mean stays under the limit',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 3), floorA: chance.between(0.008, 0.02) });
      const periodS = chance.between(0.8, 1.3);
      night.poll({ periodS, widthS: periodS * chance.between(0.1, 0.2), heightA: chance.between(0.03, 0.1), jitter: chance.between(0, 0.15) });
      return close(night, { tags: ['busy'] });
    },
  },
  {
    name: 'poll-every-quarter-minute',
    line: 'a module polls every 10 to 30 seconds with 0.3 to 1 A for some tens of milliseconds',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.6, 3), floorA: chance.between(0.008, 0.025) });
      night.poll({ periodS: chance.between(10, 30), widthS: chance.between(0.03, 0.12), heightA: chance.between(0.3, 1), jitter: 0 });
      return close(night);
    },
  },
];
