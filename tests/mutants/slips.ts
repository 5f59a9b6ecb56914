import { readFileSync } from 'node:fs';
import { commonTokens } from '@stryker-mutator/api/plugin';
import { createInstrumenter } from '@stryker-mutator/instrumenter';
import { globSync } from 'tinyglobby';
import { createInjector } from 'typed-inject';
import { seededRandom } from '../../src/core/random.ts';
import type { Folder } from './folders.ts';

/** One change of one operator, bound, condition or call. */
export interface Slip {
  readonly file: string;
  /** from 0, as Stryker's own results count them */
  readonly location: { readonly start: { readonly line: number; readonly column: number }; readonly end: { readonly line: number; readonly column: number } };
  readonly mutator: string;
  readonly replacement: string;
}

/**
 * Left out: texts (judged by readers), whole blocks and literals emptied (coarse, and mostly noticed by the types). What stays is what a
 * tired hand does: an operator, a bound, a condition, a call.
 */
export const LEFT_OUT = ['StringLiteral', 'BlockStatement', 'ObjectLiteral', 'ArrayDeclaration', 'Regex'];

const silent = (): undefined => undefined;
const LOGGER = { isTraceEnabled: () => false, isDebugEnabled: () => false, isInfoEnabled: () => false, isWarnEnabled: () => false, isErrorEnabled: () => false, isFatalEnabled: () => false, trace: silent, debug: silent, info: silent, warn: silent, error: silent, fatal: silent };

/** Every slip of a folder, or of those of its files that are in `only`, in the order of files and lines. */
export async function slipsOf(folder: Folder, only: ReadonlySet<string> | null): Promise<Slip[]> {
  const files = globSync([...folder.source]).sort().filter((file) => only === null || only.has(file));
  const instrumenter = createInjector().provideValue(commonTokens.logger, LOGGER).injectFunction(createInstrumenter);
  const { mutants } = await instrumenter.instrument(files.map((name) => ({ name, mutate: true, content: readFileSync(name, 'utf8') })), { plugins: [], excludedMutations: LEFT_OUT, ignorers: [] });
  return mutants
    .filter((mutant) => mutant.status === undefined || mutant.status === 'Pending')
    .map((mutant) => ({ file: mutant.fileName, location: mutant.location, mutator: mutant.mutatorName, replacement: mutant.replacement ?? '' }));
}

/** `count` of them, each as likely as any other; the same for the same seed. */
export function sampleOf(slips: readonly Slip[], count: number, seed: number): Slip[] {
  const random = seededRandom(seed);
  const rest = [...slips];
  const chosen: Slip[] = [];
  while (chosen.length < count && rest.length > 0) chosen.push(...rest.splice(Math.floor(random() * rest.length), 1));
  return chosen.sort((a, b) => a.file.localeCompare(b.file) || a.location.start.line - b.location.start.line || a.location.start.column - b.location.start.column);
}

/** What a slip is known by in the list of those set aside: it survives lines being added above it. */
export function nameOf(slip: Slip): string {
  const { start, end } = slip.location;
  const lines = readFileSync(slip.file, 'utf8').split('\n');
  const line = lines[start.line] ?? '';
  const was = end.line === start.line ? line.slice(start.column, end.column) : line.slice(start.column);
  return `${slip.file} | ${line.trim()} | ${was} -> ${slip.replacement.split('\n')[0]}`;
}
