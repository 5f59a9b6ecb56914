import type { CompareOptions } from '../../core/analysis/compare/compare-actuation.ts';
import type { CompareResult } from '../../core/analysis/compare/results.ts';
import type { AnalysisResult } from '../../core/analysis/results.ts';
import { language } from '../../core/present/language.ts';
import { compareActuation, compareDrain } from '../../core/present/documents/document-compare.ts';
import { StoreError } from '../store/files/store-error.ts';

const words = language.daemon.running.compareAnalysed;

/** Compares two analysed traces of one test. Throws StoreError when their tests differ: their figures have nothing in common. */
export function compareAnalysed(before: AnalysisResult, after: AnalysisResult, options: CompareOptions = {}): CompareResult {
  if (before.test === 'actuation' && after.test === 'actuation') return compareActuation(before, after, options);
  if (before.test === 'drain' && after.test === 'drain') return compareDrain(before, after, options);
  throw new StoreError('wrong-format', words.oneTraceIsA(before.test, after.test));
}
