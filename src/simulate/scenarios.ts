import { DRAIN_SCENARIOS } from './drain-scenarios.ts';
import { MOTOR_SCENARIOS } from './motor-scenarios.ts';
import type { Scenario } from './scenario.ts';

/** Everything the virtual vehicle can play, motor circuits first. */
export const SCENARIOS: readonly Scenario[] = [...MOTOR_SCENARIOS, ...DRAIN_SCENARIOS];

export function findScenario(name: string): Scenario | undefined {
  return SCENARIOS.find((scenario) => scenario.name === name);
}
