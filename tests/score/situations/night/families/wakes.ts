import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { someWake } from '../stock.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import type { ParkedNight, WakeShape } from '../vehicle.ts';
import { parked } from './plain.ts';

/** When the first wake-up may come: all modules are asleep and have been for a while. */
function firstS(chance: Chance, night: ParkedNight): number {
  return Math.max(...night.modules.map((module) => module.timeoutS)) + chance.between(240, 900);
}

function wakeAll(night: ParkedNight, shape: WakeShape, next: (atS: number) => number): void {
  const { chance } = night;
  let atS = firstS(chance, night);
  while (atS + shape.burstS + shape.tailS < night.durationS) {
    night.wakeup(atS, { ...shape, burstS: shape.burstS * chance.between(0.9, 1.1), burstA: shape.burstA * chance.between(0.95, 1.05) });
    atS += Math.max(1.5 * (shape.burstS + shape.tailS), next(atS));
  }
}

function close(chance: Chance, night: ParkedNight, label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(chance), label: { tags: ['wake-ups'], ...label } });
}

/** A period has to be reported from five wake-ups on (definitions.md). */
function must(night: ParkedNight): boolean {
  return night.wakeups.length >= 5;
}

function regular(chance: Chance, periodS: number, hours: number, kind: 'clock' | 'drifting' | 'independent', shape = someWake(chance)): NightCase {
  const night = parked(chance, { hours, slowestS: chance.between(120, 900) });
  const perHour = kind === 'drifting' ? chance.sign() * chance.between(0.004, 0.02) : 0;
  const sigma = kind === 'independent' ? chance.between(0.04, 0.15) : kind === 'drifting' ? 0.001 : 0;
  wakeAll(night, shape, (atS) => periodS * (1 + (perHour * atS) / 3600) * (1 + chance.normal(sigma)));
  const starts = night.wakeups.map((wakeup) => wakeup.fromS);
  const meanS = kind === 'drifting' && starts.length > 1 ? (starts.at(-1)! - starts[0]!) / (starts.length - 1) : periodS;
  return close(chance, night, { period: { meanS, must: must(night) }, tags: ['wake-ups', `period ${kind}`] });
}

function someTimes(chance: Chance, count: number, hours: number): NightCase {
  const night = parked(chance, { hours, slowestS: chance.between(120, 1200) });
  const shape = someWake(chance);
  const startS = firstS(chance, night);
  const roomS = (night.durationS - startS) / count;
  for (let k = 0; k < count; k++) night.wakeup(startS + roomS * (k + chance.between(0.05, 0.8)), shape);
  return close(chance, night, { tags: ['wake-ups'] });
}

export const wakeSituations: readonly NightSituation[] = [
  { name: 'one-wake-up', line: 'a module wakes once in the night', make: (chance) => someTimes(chance, 1, chance.between(2, 9)) },
  { name: 'two-wake-ups', line: 'a module wakes twice in the night', make: (chance) => someTimes(chance, 2, chance.between(4, 10)) },
  { name: 'clock-wakes', line: 'a module wakes by a true clock, every 5 to 30 minutes', make: (chance) => regular(chance, chance.between(300, 1800), chance.between(5, 10), 'clock') },
  { name: 'drifting-clock-wakes', line: 'as clock-wakes, but the clock runs faster or slower by the hour', make: (chance) => regular(chance, chance.between(240, 1200), chance.between(5, 10), 'drifting') },
  { name: 'independent-wakes', line: 'each sleep has a length of its own, 4 to 15 percent about the same mean', make: (chance) => regular(chance, chance.between(240, 900), chance.between(5, 10), 'independent') },
  {
    name: 'minute-wakes',
    line: 'five to eight wake-ups one to three minutes apart, by a clock, in a recording of two hours or less',
    make: (chance) => {
      const periodS = chance.between(60, 180);
      const night = parked(chance, { hours: chance.between(1.4, 2), slowestS: chance.between(60, 400) });
      const shape = { burstA: chance.between(0.3, 2), burstS: chance.between(3, 10), tailA: chance.between(0.1, 0.25), tailS: chance.between(2, 8) };
      const startS = night.durationS / 2;
      const count = chance.whole(5, 8);
      for (let k = 0; k < count; k++) night.wakeup(startS + k * periodS, shape);
      return close(chance, night, { period: { meanS: periodS, must: true }, tags: ['wake-ups', 'period clock'] });
    },
  },
  {
    name: 'wakes-at-random',
    line: 'something wakes the vehicle at random, 6 to 25 times a night: no period',
    make: (chance) => {
      const hours = chance.between(5, 10);
      const night = parked(chance, { hours, slowestS: chance.between(120, 900) });
      const meanS = ((hours - 0.6) * 3600) / chance.between(8, 25);
      wakeAll(night, someWake(chance), () => chance.wait(meanS));
      return close(chance, night, { tags: ['wake-ups', 'no period'] });
    },
  },
  {
    name: 'telematics',
    line: 'published as normal: 80 to 240 mA for 45 s every 9 to 10 minutes on a floor of 25 mA or less',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(4, 9), slowestS: chance.between(120, 900), floorA: chance.between(0.012, 0.025) });
      const periodS = chance.between(540, 600);
      const ampsA = chance.between(0.08, 0.24);
      wakeAll(night, { burstA: ampsA, burstS: 40, tailA: ampsA * 0.8, tailS: 5 }, () => periodS);
      return close(chance, night, { period: { meanS: periodS, must: true }, right: ['waking', 'asleep'], tags: ['wake-ups', 'period clock'] });
    },
  },
  {
    name: 'wakes-every-few-minutes',
    line: 'a module wakes every 3 to 6 minutes for a minute with amperes: the floor is fine, the average is not',
    make: (chance) => regular(chance, chance.between(180, 360), chance.between(2, 5), chance.pick(['clock', 'independent']), { burstA: chance.between(0.8, 3), burstS: chance.between(20, 40), tailA: chance.between(0.3, 0.6), tailS: chance.between(10, 30) }),
  },
  {
    name: 'wakes-on-a-drain',
    line: 'a steady drain over the limit with wake-ups by a clock on top',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(4, 8), slowestS: chance.between(120, 900), extraA: chance.between(0.08, 0.3) });
      const periodS = chance.between(400, 1500);
      wakeAll(night, someWake(chance), () => periodS);
      return close(chance, night, { period: { meanS: periodS, must: must(night) }, tags: ['wake-ups', 'period clock'] });
    },
  },
];
