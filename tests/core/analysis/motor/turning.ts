import { seededRandom } from '../../../../src/core/random.ts';
export { seededRandom as dice } from '../../../../src/core/random.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw } from './traces.ts';


export interface TurningMotor {
  readonly trace: Trace;
  readonly perRevolution: number;
  readonly revolutionsHz: number;
  readonly runA: number;
}

/**
 * A motor that runs for some seconds, drawn from what a current shows of a commutator rather than from motor equations: one cusp a
 * commutation, each bar a little different from the next, waves of the first four orders from an uneven rotor that may be stronger
 * than the ripple, a speed that drifts with the load, noise, now and then a clamp of 500 Hz. `low` is the share of the running
 * current that is missing in one commutation of each turn, with the current's own delay (L/R) on both flanks; 0 for a sound one.
 */
export function turningMotor(seed: number, low: number): TurningMotor {
  const random = seededRandom(seed);
  const between = (from: number, to: number): number => from + (to - from) * random();
  const perRevolution = [8, 10, 12, 14, 16, 20, 24][Math.floor(random() * 7)] as number;
  const revolutionsHz = between(18, 60);
  const runA = between(2, 30);
  const rateHz = Math.max(2000, Math.ceil((revolutionsHz * perRevolution * between(4, 9)) / 1000) * 1000);
  const rippleShare = between(0.02, 0.09);
  const bars = Array.from({ length: perRevolution }, () => between(-0.3, 0.3) * rippleShare);
  const waves = [between(0.003, 0.12), between(0, 0.05), between(0, 0.03), between(0, 0.006)];
  const phases = [random(), random(), random(), random()];
  const drift = between(0, 0.03);
  const driftS = between(0.4, 2);
  const bad = Math.floor(random() * perRevolution);
  const noiseA = between(0.001, 0.015) * runA;
  const clampHz = random() < 0.3 ? 500 : Infinity;
  const delay = between(0.2, 0.6);
  let turns = 0;
  let lost = 0;
  let slowA = 0;
  const durationS = between(1.4, 2.4);
  const trace = draw(rateHz, durationS + 1, (atS) => {
    const on = atS >= 0.5 && atS < 0.5 + durationS;
    if (!on) {
      slowA += (0 - slowA) * (clampHz === Infinity ? 1 : 1 - Math.exp((-2 * Math.PI * clampHz) / rateHz));
      return slowA + noiseA * (random() + random() + random() - 1.5) * 2;
    }
    const sinceS = atS - 0.5;
    const speed = revolutionsHz * (1 - Math.exp(-sinceS / 0.06)) * (1 + drift * Math.sin((2 * Math.PI * sinceS) / driftS));
    turns += speed / rateHz;
    const place = turns - Math.floor(turns);
    const commutation = Math.floor(place * perRevolution);
    const cusp = 1.5 * (Math.abs(Math.sin(Math.PI * place * perRevolution)) - 2 / Math.PI);
    lost += ((commutation === bad ? low : 0) - lost) * (1 - Math.exp(-(speed * perRevolution) / rateHz / delay));
    let share = rippleShare * cusp + (bars[commutation] as number) - lost;
    for (const [order, size] of waves.entries()) share += (size as number) * Math.cos(2 * Math.PI * ((order + 1) * place + (phases[order] as number)));
    const currentA = runA * (1 + 3 * Math.exp(-sinceS / 0.06)) * (1 + share * (1 - Math.exp(-sinceS / 0.06)));
    slowA += (currentA - slowA) * (clampHz === Infinity ? 1 : 1 - Math.exp((-2 * Math.PI * clampHz) / rateHz));
    return slowA + noiseA * (random() + random() + random() - 1.5) * 2;
  });
  return { trace, perRevolution, revolutionsHz, runA };
}
