import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/**
 * A motor by its law alone: e = V - R i, so speed falls in a straight line from 1 at the running current to 0 at the standstill current
 * (any handbook of DC machines). The rotor gets up to speed, meets a load that waves and a heavy stretch, and stops.
 */
interface Law {
  readonly rateHz: number;
  readonly rippleHz: number;
  readonly rippleShare: number;
  readonly waveShare?: number;
  readonly heavyA?: number;
  readonly turnHz?: number;
  readonly turnShare?: number;
  readonly humHz?: number;
  readonly humA?: number;
  readonly cornerHz?: number;
  readonly noiseA?: number;
}

const RUN_A = 4;
const STAND_A = 20;

function byLaw(law: Law): Parameters<typeof analyseActuation>[0] {
  const n = noise(law.noiseA ?? 0.01, 3);
  const meanA = (t: number): number => {
    const u = t - 1;
    const heavy = u > 1.2 && u < 2.2 ? (law.heavyA ?? 0) * Math.sin(Math.PI * (u - 1.2)) : 0;
    return RUN_A * (1 + (law.waveShare ?? 0) * Math.sin(2 * Math.PI * 1.3 * u)) + heavy + (STAND_A - RUN_A) * Math.exp(-u / 0.12);
  };
  let turned = 0;
  let last = 1;
  let slow = 0;
  return draw(law.rateHz, 5, (t) => {
    const hum = (law.humA ?? 0) * Math.cos(2 * Math.PI * (law.humHz ?? 50) * t + 0.4);
    if (t < 1 || t >= 4) {
      slow *= law.cornerHz === undefined ? 0 : Math.exp((-2 * Math.PI * law.cornerHz) / law.rateHz);
      return slow + hum + n();
    }
    // the angle in steps of 20 us, so that a ripple above the rate is folded as sampling folds it
    for (; last < t; last += 2e-5) {
      turned += ((STAND_A - meanA(last)) / (STAND_A - RUN_A)) * 2e-5;
      if (law.cornerHz !== undefined) slow += (wave(law, meanA(last), turned) - slow) * (1 - Math.exp(-2 * Math.PI * law.cornerHz * 2e-5));
    }
    return (law.cornerHz === undefined ? wave(law, meanA(t), turned) : slow) + hum + n();
  });
}

function wave(law: Law, amps: number, turned: number): number {
  return amps * (1 + law.rippleShare * Math.cos(2 * Math.PI * law.rippleHz * turned) + (law.turnShare ?? 0) * Math.cos(2 * Math.PI * (law.turnHz ?? 1) * turned));
}

const codes = (trace: Parameters<typeof analyseActuation>[0]): string[] => analyseActuation(trace, {}).problems.map(({ code }) => code);

describe('ripple of a motor whose speed changes', () => {
  // the second half of the readings comes at 1250 a second, where 400 Hz can still be seen: in bins of a mean rate they are two lines, and neither is at 400 Hz
  it('is not told of a logger that falls back to a quarter of its rate meanwhile, and the reason is', () => {
    const trace = byLaw({ rateHz: 5000, rippleHz: 400, rippleShare: 0.05 });
    const kept = Array.from(trace.timeS.keys()).filter((i) => i < 12_500 || i % 4 === 0);
    const fallen = { ...trace, timeS: Float64Array.from(kept, (i) => trace.timeS[i] ?? NaN), currentA: Float32Array.from(kept, (i) => trace.currentA[i] ?? NaN) };
    expect(analyseActuation(fallen, {}).actuations[0]?.ripple).toBeNull();
    expect(codes(fallen)).toContain('uneven-rate');
    expect(codes(trace)).not.toContain('uneven-rate');
  });

  it('is reported at the usual speed though a heavy stretch slows the motor by a third for as long as it runs freely', () => {
    const ripple = analyseActuation(byLaw({ rateHz: 5000, rippleHz: 400, rippleShare: 0.05, heavyA: 7 }), {}).actuations[0]?.ripple;
    expect(Math.abs((ripple?.frequency_hz as number) / 400 - 1)).toBeLessThan(0.01);
  });

  it('is reported for a load that waves by a fifth', () => {
    const ripple = analyseActuation(byLaw({ rateHz: 5000, rippleHz: 300, rippleShare: 0.04, waveShare: 0.2 }), {}).actuations[0]?.ripple;
    expect(Math.abs((ripple?.frequency_hz as number) / 300 - 1)).toBeLessThan(0.01);
  });
});

describe('a line held against the motor\'s law', () => {
  it.each([[500, 170], [440, 130], [1000, 330]])('is reported by a logger of %i samples a second when %i Hz is what is there', (rateHz, rippleHz) => {
    const ripple = analyseActuation(byLaw({ rateHz, rippleHz, rippleShare: 0.05, waveShare: 0.05 }), {}).actuations[0]?.ripple;
    expect(Math.abs((ripple?.frequency_hz as number) / rippleHz - 1)).toBeLessThan(0.01);
  });

  it.each([[500, 370], [1000, 733], [1000, 1270], [2000, 1640]])('is not reported by a logger of %i samples a second when it is folded down from %i Hz', (rateHz, rippleHz) => {
    const trace = byLaw({ rateHz, rippleHz, rippleShare: 0.05, waveShare: 0.05 });
    expect(analyseActuation(trace, {}).actuations[0]?.ripple).toBeNull();
    expect(codes(trace)).toContain('aliasing');
  });

  it('is reported with a warning where a steady current leaves both open, and without one by a fast logger', () => {
    const steady = (rateHz: number): Parameters<typeof analyseActuation>[0] => {
      const n = noise(0.01, 6);
      return draw(rateHz, 4, (t) => (t < 1 || t >= 3 ? 0 : 5 * (1 + 0.03 * Math.cos(2 * Math.PI * 310 * t))) + n());
    };
    expect(analyseActuation(steady(1500), {}).actuations[0]?.ripple?.frequency_hz).toBeCloseTo(310, 0);
    expect(codes(steady(1500))).toContain('aliasing');
    expect(codes(steady(5000))).not.toContain('aliasing');
  });

  it('holds for any folded place, getting up to speed and all', () => {
    fc.assert(
      fc.property(fc.integer({ min: 60, max: 380 }), fc.constantFrom(1, -1), (seenHz, side) => {
        const reported = analyseActuation(byLaw({ rateHz: 1000, rippleHz: 1000 + side * seenHz, rippleShare: 0.06, waveShare: 0.06 }), {}).actuations[0]?.ripple;
        expect(reported ?? null).toBeNull();
      }),
      { numRuns: 25 },
    );
  });
});

describe('a motor of 13 unlike segments and two brushes', () => {
  // LCM(2, 13) = 26 ripples a turn (driver for the TI DRV821x); the line once a segment is the stronger one
  const trace = (): Parameters<typeof analyseActuation>[0] => {
    const n = noise(0.01, 4);
    return draw(8000, 4, (t) => {
      if (t < 0.5 || t >= 3.5) return n();
      const turns = 47 * (t - 0.5);
      const wave = (order: number): number => Math.cos(2 * Math.PI * order * turns + order);
      return (5 + 11 * Math.exp(-(t - 0.5) / 0.04)) * (1 + 0.03 * wave(1) + 0.02 * wave(13) + 0.012 * wave(26)) + n();
    });
  };

  it('has its ripple reported by commutations, not by segments', () => {
    expect(Math.abs((analyseActuation(trace(), {}).actuations[0]?.ripple?.frequency_hz as number) / (26 * 47) - 1)).toBeLessThan(0.005);
  });

  it('has its revolutions reported right with the commutations typed in', () => {
    expect(analyseActuation(trace(), { commutationsPerRevolution: 26 }).actuations[0]?.ripple?.revolutions_per_s).toBeCloseTo(47, 0);
  });
});

describe('a folded line that comes no whole number of times a turn', () => {
  it('is refused though the current hardly changes', () => {
    const n = noise(0.01, 5);
    const trace = draw(2000, 5, (t) => {
      if (t < 1 || t >= 4) return n();
      const turns = 60.4 * (t - 1);
      return 5 * (1 + 0.03 * Math.cos(2 * Math.PI * turns) + 0.02 * Math.cos(2 * Math.PI * 20 * turns)) + n();
    });
    expect(analyseActuation(trace, {}).actuations[0]?.ripple).toBeNull();
    expect(codes(trace)).toContain('aliasing');
  });
});

describe('one motor in all presses', () => {
  it('keeps its ripple in a press in which something else rattles louder', () => {
    const n = noise(0.02, 8);
    const trace = draw(5000, 10, (t) => {
      const u = t % 2.5;
      const amps = press(u, 0.5, 2, 18, 5);
      return amps === 0 ? n() : amps + 0.1 * Math.cos(2 * Math.PI * 300 * u) + (t > 7.5 ? 0.15 * Math.cos(2 * Math.PI * 171 * u) : 0) + n();
    });
    const reported = analyseActuation(trace, {}).actuations.map(({ ripple }) => ripple?.frequency_hz as number);
    expect(reported).toHaveLength(4);
    for (const hz of reported) expect(Math.abs(hz / 300 - 1)).toBeLessThan(0.01);
  });
});

describe('what comes once a turn', () => {
  it('is not reported as the ripple when the clamp is too slow to show the ripple', () => {
    const trace = byLaw({ rateHz: 5000, rippleHz: 800, rippleShare: 0.03, turnHz: 50, turnShare: 0.05, cornerHz: 25, noiseA: 0.04 });
    expect(analyseActuation(trace, { commutationsPerRevolution: 16 }).actuations[0]?.ripple).toBeNull();
  });

  it('is not reported as the ripple when the ripple is a hundred times weaker, but the commutations are typed in', () => {
    const ripple = analyseActuation(byLaw({ rateHz: 10_000, rippleHz: 860, rippleShare: 0.0015, turnHz: 43, turnShare: 0.1, noiseA: 0.003 }), { commutationsPerRevolution: 20 }).actuations[0]?.ripple;
    expect(Math.abs((ripple?.frequency_hz as number) / 860 - 1)).toBeLessThan(0.01);
  });
});

describe('mains hum beside the ripple', () => {
  // EN 50160: 50 Hz within 1 % for 99.5 % of the year, so a grid is hardly ever at its nominal frequency to the hundredth
  it.each([49.93, 50, 50.07, 60.06])('at %d Hz leaves a ripple of 57 Hz readable', (humHz) => {
    const trace = byLaw({ rateHz: 2000, rippleHz: 57, rippleShare: 0.05, humHz, humA: 0.3 });
    const ripple = analyseActuation(trace, {}).actuations[0]?.ripple;
    expect(Math.abs((ripple?.frequency_hz as number) / 57 - 1)).toBeLessThan(0.01);
  });

  it.each([49.93, 50.07])('at %d Hz is taken out of the running level\'s noise', (humHz) => {
    const result = analyseActuation(byLaw({ rateHz: 2000, rippleHz: 400, rippleShare: 0.02, humHz, humA: 0.3 }), {});
    expect(result.baseline.noise_a).toBeLessThan(0.02);
  });
});
