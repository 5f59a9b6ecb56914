import { simulateSteps } from '../../src/simulate/run.ts';
import type { Scenario, SimulatedTrace } from '../../src/simulate/scenario.ts';

/** A scenario from start to end, or for `durationS`, in one go. */
export function simulateTrace(scenario: Scenario, seed: number, durationS: number = scenario.durationS): SimulatedTrace {
  const steps = simulateSteps(scenario, seed, durationS);
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}
