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

/** In the catalogue of texts a function is a text with gaps: one that gives nothing is a text gone, which the types refuse there without exception. */
const isTextGone = (file: string, mutator: string): boolean => mutator === 'ArrowFunction' && file.startsWith('src/core/present/en/');

const silent = (): undefined => undefined;
const LOGGER = { isTraceEnabled: () => false, isDebugEnabled: () => false, isInfoEnabled: () => false, isWarnEnabled: () => false, isErrorEnabled: () => false, isFatalEnabled: () => false, trace: silent, debug: silent, info: silent, warn: silent, error: silent, fatal: silent };

const keyOf = (slip: Slip): string => JSON.stringify([slip.file, slip.location.start, slip.location.end, slip.mutator, slip.replacement]);

type Range = Slip['location'];

/** Stryker's instrumenter over some files, each whole or in ranges. */
async function instrumented(files: readonly { readonly name: string; readonly mutate: boolean | Range[] }[]) {
  const instrumenter = createInjector().provideValue(commonTokens.logger, LOGGER).injectFunction(createInstrumenter);
  const answer = await instrumenter.instrument(files.map(({ name, mutate }) => ({ name, mutate, content: readFileSync(name, 'utf8') })), { plugins: [], excludedMutations: LEFT_OUT, ignorers: [] });
  const slips = answer.mutants
    .filter((mutant) => (mutant.status === undefined || mutant.status === 'Pending') && !isTextGone(mutant.fileName, mutant.mutatorName))
    .map((mutant) => ({ id: mutant.id, slip: { file: mutant.fileName, location: mutant.location, mutator: mutant.mutatorName, replacement: mutant.replacement ?? '' } satisfies Slip }));
  return { files: answer.files, slips };
}

/** Every slip of a folder, in the order of files and lines. */
export async function slipsOf(folder: Folder): Promise<Slip[]> {
  const files = globSync([...folder.source]).sort();
  const { slips } = await instrumented(files.map((name) => ({ name, mutate: true })));
  return slips.map(({ slip }) => slip);
}

/** The files of these slips with a switch for each, and the name of its switch. */
export async function instrument(slips: readonly Slip[]): Promise<{ files: readonly { readonly name: string; readonly content: string }[]; ids: Map<Slip, string> }> {
  const names = [...new Set(slips.map(({ file }) => file))];
  const answer = await instrumented(names.map((name) => ({ name, mutate: slips.filter(({ file }) => file === name).map(({ location }) => location) })));
  const wanted = new Map(slips.map((slip) => [keyOf(slip), slip]));
  // a range also holds the smaller slips inside it
  const ids = new Map<Slip, string>();
  for (const { id, slip } of answer.slips) {
    const asked = wanted.get(keyOf(slip));
    if (asked !== undefined) ids.set(asked, id);
  }
  return { files: answer.files, ids };
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
