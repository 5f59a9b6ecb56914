import type { AnalysisResult } from '../core/analysis/results.ts';
import { language } from '../core/present/language.ts';
import { bullet } from './table.ts';

const words = language.cli.results.presentVerdict;

/** What was found, on what evidence, and what to check next. */
export function presentVerdict({ finding, because, next }: Pick<AnalysisResult['verdict'], 'finding' | 'because' | 'next'>): string {
  const found = words.finding(language.names.findings[finding]) + because.map((sentence) => bullet(sentence)).join('');
  return next.length === 0 ? found : found + words.checkNext + next.map((sentence) => bullet(sentence)).join('');
}
