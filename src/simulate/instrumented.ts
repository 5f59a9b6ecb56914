import type { Mark } from '../core/trace.ts';
import type { ScenarioTruth, VirtualVehicle } from './scenario.ts';

/** A vehicle that also tells what really happened, for tests and labelled traces. */
export interface InstrumentedVehicle extends VirtualVehicle {
  truth(): ScenarioTruth;
  marks(): readonly Mark[];
}

export function isInstrumented(vehicle: VirtualVehicle): vehicle is InstrumentedVehicle {
  return 'truth' in vehicle && 'marks' in vehicle;
}
