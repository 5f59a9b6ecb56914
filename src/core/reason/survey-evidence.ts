import { DEFAULT_DRAIN_LIMIT_A } from '../analysis/options.ts';
import { surveyFuses } from '../analysis/readings/fuse-survey.ts';
import { fuseTypeOf } from '../reference/blade-fuses.ts';
import type { JobEvidence } from '../tracefile/record.ts';
import { language } from '../present/language.ts';
import type { SeenInTrace } from './case.ts';

/** So many fuses without one that carries the drain say that it lies before them (common practice, no published source). */
const ENOUGH_FUSES = 3;
/** Its name among the traces. */
const NAME = 'fuse survey';

/** What the millivolts across the fuses say of a drain: one fuse carries it, or none does and the clamp shows that something is left over. */
export function observeSurvey(survey: JobEvidence['fuse_survey']): SeenInTrace[] {
  if (survey === null) return [];
  const { fuses, low_left_over_a: leftA } = surveyFuses(
    survey.fuses.map(({ label, type, rating_a: ratingA, mv, ohm }) => ({ label, type: fuseTypeOf(type), typeWord: type, ratingA, dropV: mv / 1000, ownOhm: ohm })),
    survey.battery_a,
  );
  const first = fuses[0];
  if (first?.current_a != null && (first.low_a ?? 0) > DEFAULT_DRAIN_LIMIT_A) {
    return [{ observation: 'fuse-carries', trace: NAME, said: language.reason.read.fuseCarries(first.label, first.low_a ?? 0, first.high_a ?? 0) }];
  }
  const measured = fuses.filter(({ current_a: currentA }) => currentA !== null);
  if (measured.length >= ENOUGH_FUSES && measured.length === fuses.length && leftA !== null && leftA > DEFAULT_DRAIN_LIMIT_A) {
    return [{ observation: 'no-fuse-carries', trace: NAME, said: language.reason.read.pastTheFuses(leftA, measured.length) }];
  }
  return [];
}
