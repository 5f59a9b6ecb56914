import { analyseActuation } from '../../analyse.ts';
import type { ActuationResult } from '../../../src/core/analysis/results.ts';
import type { Columns, Options } from '../situations/motor/truth/types.ts';

/** A situation's recording, analysed as the command would with what a technician typed beside it. */
export function analyseSituation({ timeS, currentA, voltageV, gaps }: Columns, typed: Options): ActuationResult {
  const { runLimitsA, commutations, zeroUncertaintyA, gainUncertaintyPercent, driftPerHourA } = typed;
  return analyseActuation(
    { timeS, currentA, voltageV, gaps },
    {
      ...(runLimitsA === undefined ? {} : { runLimitsA }), ...(commutations === undefined ? {} : { commutationsPerRevolution: commutations }),
      ...(zeroUncertaintyA === undefined ? {} : { zeroUncertaintyA }), ...(gainUncertaintyPercent === undefined ? {} : { gainUncertaintyPercent }),
      ...(driftPerHourA === undefined ? {} : { zeroDriftAPerHour: driftPerHourA }),
    },
  );
}
