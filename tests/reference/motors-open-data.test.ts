import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../analyse.ts';
import { standingOhm, switchOnCurve } from '../../src/core/reference/motor.ts';
import { draw, noise } from '../core/analysis/motor/traces.ts';

/**
 * Speed, torque and current of four 12 V brushed motors as their makers publish them, collected in github.com/karagenit/frc-motors, commit
 * c1c4e329 (MIT, tests/reference/data/motors/LICENSE.txt): a hundred points from standing to free running each.
 */
const VOLTS = 12;

interface Point {
  readonly speedRadPerS: number;
  readonly torqueNm: number;
  readonly currentA: number;
}

function load(name: string): Point[] {
  const lines = readFileSync(new URL(`data/motors/${name}.csv`, import.meta.url), 'utf8').trim().split(/\r?\n/).slice(1);
  return lines.map((line) => line.split(',').map(Number)).map(([rpm, torqueNm, currentA]) => ({ speedRadPerS: ((rpm as number) * 2 * Math.PI) / 60, torqueNm: torqueNm as number, currentA: currentA as number }));
}

describe.each(['775pro', 'bag', 'cim', 'mini-cim'])('the published curve of the %s motor', (name) => {
  const points = load(name);
  const standing = points[0] as Point;
  const free = points.at(-1) as Point;
  const ohm = standingOhm(VOLTS, standing.currentA);
  const voltsPerRadPerS = (VOLTS - ohm * free.currentA) / free.speedRadPerS;

  it('is the line of a motor whose winding is volts over stall current: i = (V - k w) / R', () => {
    expect(standing.speedRadPerS).toBe(0);
    for (const { speedRadPerS, currentA } of points) {
      expect(Math.abs((VOLTS - voltsPerRadPerS * speedRadPerS) / ohm - currentA)).toBeLessThan(0.01 * standing.currentA);
    }
  });

  it('has the same constant for torque per ampere and volts per rad/s, as the equations of the fit assume, within 15 % (friction of brushes and bearings takes the rest)', () => {
    const torquePerA = standing.torqueNm / (standing.currentA - free.currentA);
    expect(Math.abs(torquePerA / voltsPerRadPerS - 1)).toBeLessThan(0.15);
  });

  it('gives its stall current from a switch-on at a third of the load, within the bounds of the fit, without ever standing still', () => {
    const runA = standing.currentA / 3;
    // inertia and inductance are chosen; the published resistance, constant and currents are what must come out
    const curve = switchOnCurve({ standstillA: standing.currentA, runA, electricalS: 0.0015, mechanicalS: 0.06 });
    const wobble = noise(0.002 * standing.currentA);
    const result = analyseActuation(draw(5000, 3, (atS) => (atS > 0.5 && atS < 2.2 ? curve(atS - 0.5) : 0) + wobble()), {});
    const actuation = result.actuations[0];
    expect(actuation?.finding).toBe('normal');
    expect(actuation?.stalls).toEqual([]);
    const fit = actuation?.inrush?.fit;
    expect(Math.abs((fit?.standstill_a as number) / standing.currentA - 1)).toBeLessThan(0.01);
    expect(actuation?.inrush?.peak_a).toBeLessThan(standing.currentA);
  });
});
