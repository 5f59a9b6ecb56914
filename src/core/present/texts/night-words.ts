import type { NightCheck, NightEvidence, NightProblem } from '../../analysis/night/finding/codes.ts';
import type { CapacityBasis } from '../../analysis/night/outlook/outlook.ts';
import type { SentencesOf } from './sentences.ts';

/** Every sentence of the key-off reading. */
export interface NightWords {
  readonly because: SentencesOf<NightEvidence>;
  readonly next: SentencesOf<NightCheck>;
  readonly problems: SentencesOf<NightProblem>;
  /** what the days of a battery are calculated from */
  readonly capacityBasis: Readonly<Record<CapacityBasis, string>>;
}
