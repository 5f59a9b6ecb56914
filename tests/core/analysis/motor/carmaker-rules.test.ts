import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw, noise } from './traces.ts';
import { dice } from './turning.ts';

/** Rules by which carmakers' own controllers and service manuals tell an end of travel, against what the detector says of the same trace. */

interface WindowRide {
  readonly trace: Trace;
  readonly onS: number;
  /** when the glass meets its stop; null: let go before */
  readonly stopS: number | null;
}

/**
 * A window motor as published figures have it: 5 +- 1 A running (Mitsubishi Lancer 2002), end stop 15 A down to 20 A up (owners' wiki of a
 * small sports car), switch-on near the stop current, on a clamp with noise.
 */
function windowRide(seed: number, toTheStop: boolean): WindowRide {
  const random = dice(seed);
  const runA = 4 + 2 * random();
  const stopA = 15 + 5 * random();
  const peakA = stopA * (0.85 + 0.1 * random());
  const onS = 0.5 + 0.3 * random();
  const travelS = 2.5 + 2 * random();
  const fallS = 0.03 + 0.05 * random();
  const wobble = noise(0.03 + 0.05 * random(), seed);
  const stopS = toTheStop ? onS + travelS : null;
  // the controller takes the power off half a second after the stop current is passed
  const offS = onS + travelS + (toTheStop ? 0.5 : 0);
  const trace = draw(1000, offS + 0.8, (atS) => {
    if (atS < onS || atS >= offS) return wobble();
    const rise = 1 - Math.exp(-(atS - onS) / 0.002);
    const run = runA + 0.2 * Math.sin(3 * atS) + (peakA - runA) * Math.exp(-(atS - onS) / fallS);
    const pressed = stopS !== null && atS > stopS ? (stopA - runA) * (1 - Math.exp(-(atS - stopS) / 0.01)) : 0;
    const ripple = stopS !== null && atS > stopS + 0.03 ? 0 : 0.15 * Math.cos(2 * Math.PI * 210 * atS);
    return rise * (run + pressed + ripple) + wobble();
  });
  return { trace, onS, stopS };
}

/**
 * Range Rover 2003 service information, end of travel shut off: current measured for 22 ms in steps of 2 ms at switch-on, the highest kept
 * as switch-on current (5 A at least); end of travel when the current later exceeds it less 2 A; power off after 0.5 s.
 */
function endByRule({ timeS, currentA }: Trace, onS: number): number | null {
  let switchOnA = 0;
  for (let step = 0; step <= 11; step++) {
    const index = timeS.findIndex((atS) => atS >= onS + step * 0.002);
    switchOnA = Math.max(switchOnA, currentA[index] as number);
  }
  expect(switchOnA).toBeGreaterThan(5);
  for (let i = 0; i < timeS.length; i++) {
    if ((timeS[i] as number) < onS + 0.5) continue;
    if ((currentA[i] as number) > switchOnA - 2) return timeS[i] as number;
  }
  return null;
}

describe('the end of a window\'s travel', () => {
  it('is a stall for the detector wherever the Range Rover\'s shut-off rule sees it, at the same moment, and nowhere else', () => {
    for (let seed = 1; seed <= 18; seed++) {
      const ride = windowRide(seed, seed % 3 !== 0);
      const byRule = endByRule(ride.trace, ride.onS);
      const actuation = analyseActuation(ride.trace, {}).actuations[0];
      const stall = actuation?.stalls[0];
      expect(byRule === null).toBe(ride.stopS === null);
      expect(stall === undefined).toBe(byRule === null);
      if (byRule === null || stall === undefined) continue;
      expect(stall.at).toBe('travel');
      expect(Math.abs(stall.start_s - byRule)).toBeLessThan(0.06);
      // and the power goes half a second later
      expect(Math.abs((actuation?.end_s as number) - byRule - 0.5)).toBeLessThan(0.06);
    }
  });

  it('is never seen in the 22 ms of the switch-on itself', () => {
    for (let seed = 31; seed <= 40; seed++) {
      const ride = windowRide(seed, true);
      for (const stall of analyseActuation(ride.trace, {}).actuations.flatMap(({ stalls }) => stalls)) expect(stall.start_s).toBeGreaterThan(ride.onS + 0.5);
    }
  });
});

/**
 * Toyota and Lexus service manuals (2003 Camry Solara, 1997 LS 400, 2003 GS 430): a seat motor held at its end stop; the PTC inside must
 * bring the current below 1 A within 4 to 90 s.
 */
function heldSeat(opensAfterS: number, leftA: number, seed: number): Trace {
  const wobble = noise(0.03, seed);
  const stopS = 3;
  return draw(500, stopS + opensAfterS + 6, (atS) => {
    if (atS < 1 || atS > stopS + opensAfterS + 4) return wobble();
    const run = 4 + 10 * Math.exp(-(atS - 1) / 0.05);
    if (atS < stopS) return run + 0.12 * Math.cos(2 * Math.PI * 140 * atS) + wobble();
    if (atS < stopS + opensAfterS) return 18 - 2 * (1 - Math.exp(-(atS - stopS) / 8)) + wobble();
    return leftA + wobble();
  });
}

describe('a seat motor held at its end stop', () => {
  it.each([[4, 0.3], [12, 0.6], [45, 0.8], [89, 0.3]])('whose PTC opens after %i s is a stall of that length, not a switch let go: what is left is below %d A', (opensS, leftA) => {
    const result = analyseActuation(heldSeat(opensS, leftA, opensS), {});
    const stalls = result.actuations.flatMap((actuation) => actuation.stalls);
    expect(result.verdict.finding).toBe('stalled');
    expect(stalls).toHaveLength(1);
    const [stall] = stalls;
    expect(stall?.at).toBe('travel');
    expect(Math.abs((stall?.start_s as number) - 3)).toBeLessThan(0.06);
    expect(Math.abs((stall?.end_s as number) - (stall?.start_s as number) - opensS)).toBeLessThan(0.1 + 0.01 * opensS);
    expect(stall?.level_a).toBeGreaterThan(15.5);
    expect(stall?.level_a).toBeLessThan(18.2);
  });
});
