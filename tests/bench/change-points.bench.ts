import { changePoints } from '../../src/core/analysis/change-points.ts';
import { segmentationCost } from '../core/analysis/segmentation-cost.ts';
import { Dice } from '../score/drain/dice.ts';
import { plainPelt } from './plain-pelt.ts';
import { bestTimeS, judged, type BenchRow } from './row.ts';

/** Values of one level; as many levels as a night of a module that wakes every quarter of an hour has at one value a second. */
const LEVEL_VALUES = 1000;
/** Two costs that agree to this part are the same optimum: both sum a million squares in float64. */
const SAME_COST = 1e-9;

/** Functional pruning against PELT on the same series, which both must cut at the same cost. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const count = quick ? 200_000 : 1_000_000;
  const dice = new Dice(11);
  let level = 0;
  const values = Float64Array.from({ length: count }, (_, i) => {
    if (i % LEVEL_VALUES === 0) level = 4 * dice.normal();
    return level + dice.normal();
  });
  const penalty = 2 * Math.log(count);
  let ours: number[] = [];
  let plain: number[] = [];
  const oursS = bestTimeS(3, () => void (ours = changePoints(values, penalty)));
  const plainS = bestTimeS(1, () => void (plain = plainPelt(values, penalty)));
  const ourCost = segmentationCost(values, ours, penalty);
  const plainCost = segmentationCost(values, plain, penalty);
  if (Math.abs(ourCost - plainCost) > SAME_COST * plainCost) throw new Error(`the optimum found costs ${ourCost}, PELT's ${plainCost}`);
  return [judged({ name: `change points of ${count / 1e6} M values, levels of ${LEVEL_VALUES} (${ours.length} found, the same optimum)`, value: plainS / oursS, unit: 'times faster', anchor: 'a plain PELT on the same series' }, '>=', 8)];
}
