import type { Chance } from '../chance.ts';
import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { affordableRateHz, healthyFloorA, LONGEST_TIMEOUT_S, someModules } from '../stock.ts';
import { restingVoltage } from '../supply.ts';
import type { NightCase, NightLabel, NightSituation } from '../types.ts';
import { ParkedNight } from '../vehicle.ts';
import { parked } from './plain.ts';

/** A vehicle whose last module, of a size that only awake modules have, would sleep at `slowestS`; recorded for `durationS`. */
function pending(chance: Chance, durationS: number, slowestS: number, lastStepA: number): ParkedNight {
  const modules = someModules(chance, { slowestS, floorA: healthyFloorA(chance), lastStepA }).map((module, index, all) =>
    index === all.length - 1 ? module : { ...module, timeoutS: Math.min(module.timeoutS, durationS * chance.between(0.02, 0.5)) },
  );
  return new ParkedNight(chance, durationS, affordableRateHz(durationS, chance.pick([10, 50])), modules);
}

function close(chance: Chance, night: ParkedNight, label: Partial<NightLabel> = {}): NightCase {
  night.finish();
  const voltageV = chance.yes() ? restingVoltage(chance, night.wave) : null;
  return recorded(night, { sensor: goodSensor(chance), voltageV, label: { tags: ['rest'], ...label } });
}

export const restSituations: readonly NightSituation[] = [
  {
    name: 'three-minutes',
    line: 'recorded for 3 to 8 minutes only, with modules still awake',
    make: (chance) => {
      const durationS = chance.between(180, 480);
      return close(chance, pending(chance, durationS, durationS * chance.between(1.5, 6), chance.logBetween(0.1, 1)));
    },
  },
  {
    name: 'time-out-pending',
    line: 'recorded for 20 to 55 minutes; a module of 100 to 400 mA is still awake and would sleep by itself later',
    make: (chance) => {
      const durationS = chance.between(1200, 3300);
      return close(chance, pending(chance, durationS, durationS + chance.between(120, Math.max(200, LONGEST_TIMEOUT_S - durationS)), chance.between(0.1, 0.4)));
    },
  },
  {
    name: 'pending-alike',
    line: 'looks like time-out-pending, but the 100 to 400 mA never end',
    make: (chance) => {
      const durationS = chance.between(1200, 3300);
      return close(chance, parked(chance, { hours: durationS / 3600, slowestS: durationS * chance.between(0.1, 0.5), extraA: chance.between(0.1, 0.4) }));
    },
  },
  {
    name: 'long-plateau',
    line: 'a level of 60 to 300 mA for up to 70 minutes, so steady that it looks like rest; then the module sleeps',
    make: (chance) => {
      const slowestS = chance.between(2100, 4200);
      const night = parked(chance, { hours: chance.between(2, 4), slowestS, lastStepA: chance.between(0.06, 0.3) });
      return close(chance, night);
    },
  },
  {
    name: 'long-plateau-small',
    line: 'as long-plateau, but the plateau already lies under the limit',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(2, 4), slowestS: chance.between(2100, 4200), floorA: chance.between(0.006, 0.015), lastStepA: chance.between(0.015, 0.028) });
      return close(chance, night);
    },
  },
  {
    name: 'never-sleeps',
    line: 'one module of 120 to 700 mA keeps talking on the bus all night',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(1.75, 6) });
      const ampsA = chance.between(0.12, 0.7);
      night.constant(ampsA);
      let atS = 0;
      while (atS < night.durationS) {
        const forS = chance.logBetween(0.3, 20);
        night.wave.box(atS, atS + forS, ampsA * chance.between(-0.35, 0.6));
        atS += forS * chance.between(1, 1.6);
      }
      const level = { meanA: night.wave.meanA(night.durationS / 2, night.durationS), floorA: night.floorA };
      // the module's own level moves by tens of percent, so only its presence has to be reported
      return close(chance, night, { right: ['awake', 'drain'], asleep: { begins: [{ fromS: 0, toS: night.durationS }], level, must: false }, overLimit: [true, null], averageA: null, tags: ['rest', 'busy'] });
    },
  },
  {
    name: 'stuck-module',
    line: 'as never-sleeps, but the module that stays on draws a steady current',
    make: (chance) => close(chance, parked(chance, { hours: chance.between(1.75, 6), extraA: chance.between(0.12, 0.7) }), { right: ['drain', 'awake'] }),
  },
  {
    name: 'winding-down',
    line: 'a module winds down over tens of minutes: real current that dies away slowly, to a healthy floor',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(4, 8), slowestS: chance.logBetween(120, 900) });
      const startA = chance.between(0.03, 0.15);
      const tauS = chance.between(600, 2000);
      night.wave.decay(0, night.durationS, startA, tauS);
      const toS = tauS * Math.log(startA / 0.0005);
      const fromS = tauS * Math.log(startA / Math.max(0.004, 0.2 * night.floorA));
      return close(chance, night, { asleep: { begins: [{ fromS: Math.min(fromS, toS), toS }], level: { meanA: night.floorA, floorA: night.floorA }, must: true }, averageA: null, tags: ['rest', 'slow decay'] });
    },
  },
  {
    name: 'very-late-sleeper',
    line: 'a level of 80 to 400 mA that ends by itself only after one and a half to three hours; then a healthy floor',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(5, 8), slowestS: chance.between(180, 900) });
      night.load(0, chance.between(5400, 10_800), chance.logBetween(0.08, 0.4));
      return close(chance, night);
    },
  },
  {
    name: 'wakes-and-stays',
    line: 'asleep for an hour or more, then a module wakes with a burst and stays on at 80 to 400 mA up to the end',
    make: (chance) => {
      const night = parked(chance, { hours: chance.between(4, 7), slowestS: chance.between(180, 900) });
      const fromS = chance.between(5400, 7200);
      const ampsA = chance.logBetween(0.08, 0.4);
      night.wave.box(fromS, fromS + chance.between(2, 15), chance.between(0.5, 3));
      night.load(fromS, night.durationS, ampsA);
      const begins = night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS }));
      const level = { meanA: night.floorA, floorA: night.floorA };
      // asleep it was, and the level after it woke is one of rest too as far as anybody can see
      const early = close(chance, night, { right: ['drain', 'awake'], overLimit: [true, null], stirred: [{ fromS, toS: night.durationS }], averageA: null });
      return { ...early, label: { ...early.label, asleep: { begins: [...begins, { fromS, toS: fromS + 120 }], level: { meanA: level.meanA, floorA: level.floorA + ampsA }, must: false } } };
    },
  },
  {
    name: 'soon-asleep',
    line: 'asleep after 1 to 4 minutes and recorded for 12 to 19 minutes',
    make: (chance) => close(chance, parked(chance, { hours: chance.between(12, 19) / 60, slowestS: chance.between(60, 240), wantedHz: 100 })),
  },
  {
    name: 'half-an-hour',
    line: 'asleep after 5 to 12 minutes under the limit, recorded for 30 to 60 minutes',
    make: (chance) => close(chance, parked(chance, { hours: chance.between(0.5, 1), slowestS: chance.between(300, 720), wantedHz: 50 })),
  },
];
