import { readFile, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { RESULT_SCHEMA, type AnalysisResult } from '../../../core/analysis/results.ts';
import { writeJson } from '../files/record-file.ts';

/** The newest analysis lies beside the trace it was made of, so that the list can say what was found without computing anew. */
const FILE = 'analysis.json';
/** a night with a hundred wake-ups has 50 kB */
const MAX_BYTES = 8 << 20;

/** Null when none was made, or what lies there is none. */
export async function readResult(folder: string): Promise<AnalysisResult | null> {
  const path = join(folder, FILE);
  try {
    if ((await stat(path)).size > MAX_BYTES) return null;
    const value = JSON.parse(await readFile(path, 'utf8')) as Partial<AnalysisResult> | null;
    return value?.schema === RESULT_SCHEMA && typeof value.verdict?.finding === 'string' ? (value as AnalysisResult) : null;
  } catch {
    return null;
  }
}

/** A folder that cannot be written keeps no result; that is no reason to withhold the result itself. */
export async function keepResult(folder: string, result: AnalysisResult): Promise<void> {
  await writeJson(join(folder, FILE), result).catch(() => undefined);
}

/** Options or marks have changed: what was found no longer holds. */
export async function dropResult(folder: string): Promise<void> {
  await rm(join(folder, FILE), { force: true }).catch(() => undefined);
}
