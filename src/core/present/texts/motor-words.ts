import type { MotorCheckCode, MotorEvent, MotorEvidence, MotorProblem, NoFit } from '../../analysis/motor/codes.ts';
import type { LoadReason } from '../../analysis/motor/wire/load-kind.ts';
import type { SentencesOf } from './sentences.ts';

/** Every sentence of the motor test. */
export interface MotorWords {
  readonly because: SentencesOf<MotorEvidence>;
  readonly next: Readonly<Record<MotorCheckCode, string>>;
  readonly problems: SentencesOf<MotorProblem>;
  /** why the load is taken for what it is */
  readonly load: Readonly<Record<LoadReason, string>>;
  readonly events: SentencesOf<MotorEvent>;
  /** why a switch-on gives no time constants */
  readonly noFit: SentencesOf<NoFit>;
}
