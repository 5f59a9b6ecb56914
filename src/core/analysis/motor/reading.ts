import type { ActuationResult, LoadKind } from '../results.ts';
import type { MotorProblem, PressReading } from './codes.ts';
import type { MotorVerdict } from './finding/verdict.ts';
import type { LoadReason } from './wire/load-kind.ts';

/** What the motor test reads from a recording: the public document with codes and figures where that has sentences. */
export interface MotorReading extends Omit<ActuationResult, 'problems' | 'verdict' | 'load' | 'actuations'> {
  readonly problems: MotorProblem[];
  readonly verdict: MotorVerdict;
  readonly load: { readonly kind: LoadKind; readonly because: LoadReason };
  readonly actuations: PressReading[];
}
