import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise, press } from '../traces.ts';

const currentA = (atS: number): number => press(atS, 1, 4, 20, 4);

/** One press of a 4 A motor with these volts between presses and while it runs, at the motor's feed or at the battery. */
function because(restV: number, sagOhm: number, atMotor: boolean): string {
  const wobbleA = noise(0.02);
  const wobbleV = noise(0.01, 2);
  const trace = draw(1000, 6, (atS) => currentA(atS) + wobbleA(), (atS) => (atMotor && (atS < 1 || atS >= 4) ? 0 : restV - sagOhm * currentA(atS)) + wobbleV());
  return analyseActuation(trace, {}).verdict.because.join(' ');
}

describe('volts in absolute terms', () => {
  it('say that a rested battery below 12.0 V is nearly flat (autobatteries.com: 25 % at 12.0 V)', () => {
    expect(because(11.6, 0.02, false)).toContain('quarter charged');
    expect(because(12.4, 0.02, false)).not.toContain('quarter charged');
  });

  it('know a 24 V vehicle', () => {
    expect(because(23.4, 0.02, false)).toContain('quarter charged');
    expect(because(24.8, 0.02, false)).not.toContain('quarter charged');
  });

  it('say that a motor ran on less than 10.5 V at its feed (ISO 16750-2 table 1, code D)', () => {
    expect(because(11, 0.2, true)).toContain('ran on 10');
    expect(because(12.6, 0.1, true)).not.toContain('ran on');
  });
});
