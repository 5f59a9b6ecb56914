import type { Chance } from '../chance.ts';
import { recorded, type Recording } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import { affordableRateHz } from '../stock.ts';
import type { NightCase, NightLabel } from '../types.ts';
import { ParkedNight, type Module } from '../vehicle.ts';

/**
 * A vehicle by published key-off facts: a body computer of several hundred milliamps for minutes ("several amps while they cycle
 * down", Chevrolet Optra 2009), a radio of 200 mA for up to half an hour (Jeep Compass 2021), a gearbox controller of 120 mA for
 * 20 minutes (Jeep KJ 2007), doors of some tens of milliamps for a minute or two. Asleep 10 to 30 mA (Saturn Aura 2008).
 */
export interface Wanted {
  readonly hours: number;
  readonly extraA?: number;
  readonly floorA?: number;
  /** when the last of them sleeps, s */
  readonly slowestS?: number;
  readonly keyOffS?: number;
  readonly hz?: number;
}

export function yardNight(chance: Chance, wanted: Wanted): ParkedNight {
  const durationS = wanted.hours * 3600;
  const floorA = wanted.floorA ?? chance.between(0.01, 0.03);
  const slowestS = wanted.slowestS ?? chance.pick([chance.between(280, 320), 1200, chance.between(1500, 1800)]);
  const share = (part: number): number => floorA * part;
  const modules: Module[] = [
    { awakeA: chance.between(0.4, 1.2), sleepA: share(0.4), timeoutS: Math.min(slowestS * 0.6, chance.between(60, 300)), stir: chance.between(0.01, 0.05) },
    { awakeA: chance.between(0.15, 0.25), sleepA: share(0.15), timeoutS: slowestS, stir: 0 },
    { awakeA: 0.12, sleepA: share(0.05), timeoutS: Math.min(1200, slowestS * 0.7), stir: 0 },
    ...[0.1, 0.1, 0.1, 0.1].map((part) => ({ awakeA: share(part) + chance.between(0.02, 0.06), sleepA: share(part), timeoutS: Math.min(slowestS * 0.4, chance.between(30, 120)), stir: 0 })),
  ];
  const night = new ParkedNight(chance, durationS, affordableRateHz(durationS, wanted.hz ?? 10), modules, wanted.keyOffS ?? 0);
  if (wanted.extraA !== undefined && wanted.extraA > 0) night.constant(wanted.extraA);
  return night;
}

/** a drain that is far above the limit */
export function drainA(chance: Chance): number {
  return chance.logBetween(0.12, 0.6);
}

/** late enough that every published time-out has run (75 minutes, Ford 2023 Edge) */
export function lateS(chance: Chance): number {
  return chance.between(5300, 6800);
}

export function closed(night: ParkedNight, label: Partial<NightLabel> = {}, how: Partial<Recording> = {}): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(night.chance), ...how, label: { tags: ['yard'], ...label } });
}
