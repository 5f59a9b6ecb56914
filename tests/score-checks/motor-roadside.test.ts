import { describe, expect, it } from 'vitest';
import { judge } from '../score/situations/motor/judge.ts';
import { allMotorSituations, byListName, makeSituation, run } from '../score/situations/motor/run.ts';
import { truthful } from './truthful.ts';

const SEED = 11;

/** The verdict that follows from tests/score/definitions.md for each class, whatever its seed. */
const VERDICTS: { readonly [name: string]: readonly string[] } = {
  'bow-thruster': ['normal'], 'motor-siren': ['normal'], 'pressure-switch-pump': ['normal'], 'jack-leg-lands': ['normal'], 'sheet-rolls-up': ['normal'],
  'charging-while-pressed': ['normal'], 'tail-lift-lowers': ['normal'], 'courtesy-light-fades': ['normal'], 'camper-fridge': ['normal'], 'xenon-runs-up': ['normal'],
  'coiled-cable-breaks': ['intermittent'], 'trailer-earth': ['starved'], 'string-wraps': ['stalled'], 'obstacle-reverses': ['stalled'], 'wet-salt': ['heavy'], 'bent-auger': ['suspect'], 'dies-between-presses': ['dead'],
  'parking-heater-starts': ['normal'], 'bus-door-damped': ['normal'], 'sliding-door-sequence': ['normal'], 'two-wipers': ['normal'], 'slide-out-over-sill': ['normal'],
  'windlass-links': ['normal'], 'split-charge-closes': ['normal'], 'music-beside': ['normal'], 'macerator-lumps': ['normal'], 'fence-energiser': ['normal'],
  'frozen-step': ['locked'], 'jack-of-four-stuck': ['stalled', 'suspect'], 'rope-jams-in': ['stalled'], 'battery-gives-out': ['starved'], 'drum-pump-dry': ['light'], 'winch-bar-dead': ['suspect'], 'hoist-overloaded': ['suspect'],
  'jaws-ajar': ['normal'], 'laptop-plugged-in': ['normal'], 'volt-clip-slack': ['normal'],
  'wire-twice-through': ['normal'], 'clamp-turned-midway': ['normal'], 'clamp-falls-asleep': ['normal', 'unclear'],
};

describe('the situations of the roadside', () => {
  const classes = Object.values(byListName).flat();

  it('have names of their own, and run by name or by their list alone', () => {
    expect(new Set([...allMotorSituations, ...classes].map((entry) => entry.name)).size).toBe(allMotorSituations.length + classes.length);
    expect(classes.map((entry) => entry.name).sort()).toEqual(Object.keys(VERDICTS).sort());
    expect(run({ seed: SEED, classes: ['xenon-runs-up'] }, () => ({})).rows.map((row) => row.name)).toEqual(['xenon-runs-up']);
  });

  it.each(Object.keys(VERDICTS))('%s: finite readings in rising time, the verdict of the definitions, and the truth reported in full is right', (name) => {
    const situation = makeSituation(name, SEED);
    const { timeS, currentA, voltageV } = situation.columns;
    expect(timeS.every((atS, index) => Number.isFinite(atS) && (index === 0 || atS > timeS[index - 1]!))).toBe(true);
    expect(currentA.every(Number.isFinite) && (voltageV === null || voltageV.every(Number.isFinite))).toBe(true);
    expect(situation.truth.verdictRight).toEqual(VERDICTS[name]);
    expect(judge(truthful(situation), situation.truth, situation.options.runLimitsA !== undefined)).toEqual({ outcome: 'right', reasons: [] });
  });
});
