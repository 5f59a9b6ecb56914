import { analyseActuation } from '../analyse.ts';
import { draw, noise, press } from '../core/analysis/motor/traces.ts';
import { bestTimeS, judged, type Bench } from './row.ts';

/** A minute of a motor worked every ten seconds, with ripple and noise. */
function minute(rateHz: number, durationS: number): Parameters<typeof analyseActuation>[0] {
  const n = noise(0.03);
  return draw(
    rateHz,
    durationS,
    (t) => {
      const amps = press(t % 10, 1, 6, 18, 4);
      return amps * (1 + 0.05 * Math.sin(2 * Math.PI * 400 * t)) + n();
    },
    (t) => 12.5 - 0.05 * press(t % 10, 1, 6, 18, 4),
  );
}

/** The cost of the motor test: for the size a technician records, and as growth from a quarter of it. */
export const bench: Bench = async () => {
  const repeats = 7;
  const whole = minute(10_000, 60);
  const quarter = minute(10_000, 15);
  const anchorS = bestTimeS(repeats, () => whole.currentA.slice().sort());
  const wholeS = bestTimeS(repeats, () => analyseActuation(whole, {}));
  const quarterS = bestTimeS(repeats, () => analyseActuation(quarter, {}));
  return [
    judged({ name: `motor test of 60 s at 10 kS/s (${(wholeS * 1000).toFixed(0)} ms)`, value: wholeS / anchorS, unit: 'ratio', anchor: 'sorting its current column once' }, '<=', 3),
    judged({ name: 'growth of the motor test, 60 s against 15 s', value: wholeS / quarterS, unit: 'ratio', anchor: 'the same at a quarter of the length' }, '<=', 5),
  ];
};
