import type { ActuationResult } from './result-actuation.ts';
import type { DrainResult } from './result-drain.ts';

export type { ActuationFinding, ActuationVerdictFinding, DrainFinding } from './findings.ts';
export * from './result-common.ts';
export * from './result-actuation.ts';
export * from './result-drain.ts';

/** What an analysis says, of whichever test. */
export type AnalysisResult = ActuationResult | DrainResult;
