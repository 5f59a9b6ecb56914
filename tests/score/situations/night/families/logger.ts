import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor, read, shuntLogger, smallClamp } from '../sensor.ts';
import type { NightCase, NightLabel, NightSituation, Span } from '../types.ts';
import { healthyFloorA, LONGEST_TIMEOUT_S, someModules, someWake } from '../stock.ts';
import { ParkedNight } from '../vehicle.ts';
import { parked } from './plain.ts';

const NOT_AMPERES: Partial<NightLabel> = { right: ['unclear'], honest: ['too-short'], asleep: null, overLimit: [null], averageA: null, tags: ['units'] };

function scaled(night: ParkedNight, factor: number, noiseA: number, resolutionA: number): NightCase {
  night.finish();
  for (let i = 0; i < night.wave.amps.length; i++) night.wave.amps[i]! *= factor;
  return recorded(night, { sensor: { noiseA, resolutionA, zeroA: 0, zeroSigmaA: 0, gain: 1, driftA: null, hum: null, rangeA: 1e6 }, label: NOT_AMPERES });
}

function holes(chance: Chance, night: ParkedNight, missing: readonly Span[], label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(chance), missing, label: { tags: ['gaps'], ...label } });
}

/** A meter that changes range by itself: each range with steps and a zero of its own, and blank for a moment at each change. */
function ranging(chance: Chance, night: ParkedNight): NightCase {
  night.finish();
  const sensor = shuntLogger(chance);
  const fine = read(chance, night.wave, { ...sensor, resolutionA: 0.0001 });
  const offsetsA = [0, chance.normal(0.0005), chance.normal(0.01)];
  const resolutionsA = [0.0001, 0.001, 0.01];
  const missing: Span[] = [];
  let range = 2;
  for (let i = 0; i < fine.length; i++) {
    const size = Math.abs(fine[i]!);
    const wanted = size > 3 ? 2 : size > 0.3 ? Math.max(1, Math.min(range, size < 2.5 ? 1 : 2)) : size < 0.25 ? 0 : range;
    if (wanted !== range) missing.push({ fromS: i * night.wave.stepS, toS: i * night.wave.stepS + 0.6 });
    range = wanted;
    fine[i] = Math.round((fine[i]! + offsetsA[range]!) / resolutionsA[range]!) * resolutionsA[range]!;
  }
  const base = recorded(night, { sensor: shuntLogger(chance), label: { tags: ['range'], zeroA: sensor.zeroA } });
  const kept = { timeS: base.trace.timeS, currentA: fine, voltageV: null };
  // a blank of some tenths of a second is a gap in time, and too short to be one of the recording
  const keep = [...kept.timeS.keys()].filter((i) => !missing.some((span) => kept.timeS[i]! >= span.fromS && kept.timeS[i]! < span.toS));
  const trace = { timeS: Float64Array.from(keep, (i) => kept.timeS[i]!), currentA: Float32Array.from(keep, (i) => fine[i]!), voltageV: null, gaps: [] };
  return { ...base, trace };
}

export const loggerSituations: readonly NightSituation[] = [
  { name: 'milliamps-as-amps', line: 'the file holds milliamps, but is read as amps: thousands of amperes in a parked vehicle', make: (chance) => scaled(parked(chance, { hours: chance.between(1.5, 3) }), 1000, chance.between(0.3, 3), chance.pick([0.1, 1])) },
  { name: 'amps-as-milliamps', line: 'the file holds amps, but is read as milliamps: microamperes in a parked vehicle', make: (chance) => scaled(parked(chance, { hours: chance.between(1.5, 3) }), 0.001, chance.between(3e-7, 3e-6), 1e-6) },
  {
    name: 'parking-heater',
    line: 'near miss of milliamps-as-amps: a fuel heater draws 2 to 9 A for the first half hour, then all sleeps',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2, 4) });
      const heatS = chance.between(900, 2400);
      night.load(0, heatS, chance.between(2, 4));
      night.load(0, heatS * 0.15, chance.between(3, 5));
      night.finish();
      return recorded(night, { sensor: goodSensor(chance), label: { tags: ['plain'] } });
    },
  },
  {
    name: 'gaps',
    line: 'the logger drops out two to six times for 5 s to 10 minutes while the vehicle sleeps',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2.5, 6), slowestS: chance.between(120, 1500) });
      const missing = Array.from({ length: chance.whole(2, 6) }, () => {
        const fromS = night.durationS * chance.between(0.3, 0.93);
        return { fromS, toS: fromS + chance.logBetween(5, 600) };
      });
      return holes(chance, night, missing);
    },
  },
  {
    name: 'gap-over-the-last-step',
    line: 'the logger drops out while the last module goes to sleep',
    make: (chance) => {
      const slowestS = chance.between(900, 2400);
      const night = parked(chance, { hours: chance.between(2, 4), slowestS });
      const span = { fromS: slowestS - chance.between(30, 300), toS: slowestS + chance.between(30, 300) };
      // anywhere in the gap is as good
      const begins = [{ fromS: span.fromS, toS: span.toS }];
      return holes(chance, night, [span], { asleep: { begins, level: { meanA: night.floorA, floorA: night.floorA }, must: true }, averageA: null });
    },
  },
  {
    name: 'gap-with-a-wake-up',
    line: 'a wake-up is cut short by a gap of minutes',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2.5, 5), slowestS: chance.between(120, 900) });
      const atS = night.durationS * chance.between(0.5, 0.8);
      night.wakeup(atS, someWake(chance));
      const fromS = atS + chance.between(0.5, 2);
      return holes(chance, night, [{ fromS, toS: fromS + chance.between(120, 600) }], { wakeups: [], stirred: night.wakeups, averageA: null });
    },
  },
  { name: 'range-switching', line: 'a meter that changes its range by itself, with coarser steps for larger currents', make: (chance) => ranging(chance, parked(chance, { hours: chance.between(1.6, 3) })) },
  {
    name: 'fast-and-short',
    line: 'two to three minutes at 1 kS/s, modules still awake',
    make: (chance) => {
      const durationS = chance.between(120, 180);
      const modules = someModules(chance, { slowestS: chance.between(600, LONGEST_TIMEOUT_S), floorA: healthyFloorA(chance), lastStepA: chance.between(0.1, 0.6) });
      const night = new ParkedNight(chance, durationS, 1000, modules);
      night.finish();
      const rests = night.rests();
      return recorded(night, { sensor: smallClamp(chance), label: { tags: ['rest'], ...(rests.length === 0 ? {} : { asleep: null }) } });
    },
  },
  { name: 'fourteen-hours', line: 'a whole night at 1 S/s', make: (chance) => holes(chance, parked(chance, { hours: chance.between(12, 14), wantedHz: 1 }), [], { tags: ['plain'] }) },
];
