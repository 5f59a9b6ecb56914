import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { wilson } from '../../src/core/analysis/compare/proportion.ts';
import { fallOf, percent, type Kept } from './fall.ts';
import { FOLDERS, folderNamed, hasTestsIn, type Folder } from './folders.ts';
import { nameOf, sampleOf, slipsOf, type Slip } from './slips.ts';
import { tryQuickly } from './quick.ts';
import { trySlips, type Outcome } from './try-slips.ts';

/**
 * `npm run mutants -- [--folder NAME]... [--sample N] [--seed S] [--quick] [--changed] [--keep] [--json]`: makes small slips in the code, one at a
 * time, and counts those that the folder's own tests notice. `--quick` tries them in one process (quick.ts), for folders whose tests start no other; with `--most-s S` against
 * the shortest S seconds of tests, so that the share is a lower bound. `--sample` shares N slips evenly among the folders; without it every slip
 * is tried, and what is known from the last time is not tried again. `--changed` tries what differs from main (of a folder whose tests
 * differ, the sample of the baseline too) and compares with the baseline; `--keep` writes the baseline.
 */
interface Row {
  readonly folder: string;
  readonly slips: number;
  readonly tried: number;
  readonly setAside: number;
  readonly noticed: number;
  readonly low: number;
  readonly high: number;
  readonly goal: number;
  readonly alive: readonly string[];
}

interface Baseline {
  readonly [folder: string]: Kept;
}

/** 97.5 % point of the normal distribution, for bounds of 95 % */
const Z95 = 1.959964;
const HERE = import.meta.dirname;
const BASELINE_FILE = join(HERE, 'baseline.json');

const args = process.argv.slice(2);
const valuesOf = (name: string): string[] => args.flatMap((arg, i) => (arg === name && args[i + 1] !== undefined ? [args[i + 1]!] : []));
const numberOf = (name: string): number | null => {
  const given = valuesOf(name)[0];
  if (given === undefined) return null;
  const value = Number(given);
  if (!Number.isInteger(value) || value < 1) throw new Error(`${name} takes a whole number from 1, not ${given}.`);
  return value;
};

function chosenFolders(): readonly Folder[] {
  const names = valuesOf('--folder');
  return names.length === 0 ? FOLDERS : names.map((name) => folderNamed(name) ?? refuse(name));
}

function refuse(name: string): never {
  throw new Error(`There is no folder ${name}. Known, with what lies below them: ${FOLDERS.map((folder) => folder.name).join(', ')}.`);
}

/** What differs from main: committed, not committed, and not yet known to git. */
function changedFiles(): ReadonlySet<string> {
  const git = (...words: string[]): string[] => execFileSync('git', words, { encoding: 'utf8' }).split('\n').filter((line) => line !== '');
  return new Set([...git('diff', '--name-only', 'main'), ...git('ls-files', '--others', '--exclude-standard')]);
}

/** Slips that change nothing anybody could see, each with its reason. */
function setAside(): ReadonlySet<string> {
  const listed = JSON.parse(readFileSync(join(HERE, 'same-either-way.json'), 'utf8')) as { slip: string; reason: string }[];
  return new Set(listed.map(({ slip }) => slip));
}

function rowOf(folder: Folder, slips: number, outcomes: readonly Outcome[], aside: ReadonlySet<string>): Row {
  const counted = outcomes.filter(({ slip, noticed }) => noticed || !aside.has(nameOf(slip)));
  const noticed = counted.filter((outcome) => outcome.noticed).length;
  const { low, high } = counted.length === 0 ? { low: 0, high: 1 } : wilson({ count: noticed, of: counted.length }, Z95);
  const alive = counted.filter((outcome) => !outcome.noticed).map(({ slip, reached }) => `${slip.location.start.line + 1}: ${nameOf(slip)}${reached === false ? ' (no test comes here)' : ''}`);
  return { folder: folder.name, slips, tried: counted.length, setAside: outcomes.length - counted.length, noticed, low, high, goal: folder.goal, alive };
}

function print(row: Row): void {
  const share = row.noticed / Math.max(1, row.tried);
  console.log(`${share >= row.goal ? 'met    ' : 'MISSED '} ${row.folder}: ${row.noticed} of ${row.tried} noticed, ${percent(share)} (${percent(row.low)} to ${percent(row.high)}; goal ${percent(row.goal)}); ${row.slips} slips in all, ${row.setAside} of those tried set aside`);
  for (const line of row.alive) console.log(`         not noticed ${line}`);
}

const sample = numberOf('--sample');
const seed = numberOf('--seed') ?? 1;
const only = args.includes('--changed') ? changedFiles() : null;
if (args.includes('--keep') && chosenFolders().some((folder) => !FOLDERS.includes(folder))) throw new Error('--keep writes what whole folders show, not parts of them.');
if (only !== null && args.includes('--keep')) throw new Error('--keep writes what whole folders show, --changed looks at parts of them: give one of the two.');
const folders = chosenFolders();
const aside = setAside();
const before = existsSync(BASELINE_FILE) ? (JSON.parse(readFileSync(BASELINE_FILE, 'utf8')) as Baseline) : {};
const rows: Row[] = [];
const falls: string[] = [];
const tryAll = (folder: Folder, slips: readonly Slip[], known: string | null = null): Promise<Outcome[]> => (args.includes('--quick') ? tryQuickly(folder, slips, numberOf('--most-s')) : trySlips(folder, slips, known));
for (const folder of folders) {
  const all = await slipsOf(folder);
  if (only !== null) {
    const changed = await tryChanged(folder, all, only);
    if (changed !== null) rows.push(changed);
    continue;
  }
  const chosen = sample === null ? all : sampleOf(all, Math.ceil(sample / folders.length), seed);
  const known = sample === null ? join('node_modules', '.cache', 'mutants', `${folder.name.replaceAll('/', '-')}.json`) : null;
  const row = rowOf(folder, all.length, await tryAll(folder, chosen, known), aside);
  rows.push(row);
  if (!args.includes('--json')) print(row);
}
if (args.includes('--json')) console.log(JSON.stringify({ seed, rows }));
if (args.includes('--keep')) {
  const share = sample === null ? null : Math.ceil(sample / folders.length);
  const kept: Baseline = { ...before, ...Object.fromEntries(rows.map(({ folder, noticed, tried }) => [folder, { noticed, tried, sample: share, seed }])) };
  writeFileSync(BASELINE_FILE, `${JSON.stringify(kept, null, 2)}\n`);
}
for (const fall of falls) console.error(`${fall}.`);
if (falls.length > 0) process.exitCode = 1;

/** All slips of the changed files, and the baseline's sample of the others where tests changed; null where a change touches nothing of this folder. */
async function tryChanged(folder: Folder, all: readonly Slip[], changed: ReadonlySet<string>): Promise<Row | null> {
  const kept = before[folder.name];
  const isTouched = ({ file }: Slip): boolean => changed.has(file);
  const touched = all.filter(isTouched);
  const rest = hasTestsIn(folder, changed) ? sampleOf(all, kept?.sample ?? all.length, kept?.seed ?? 1).filter((slip) => !isTouched(slip)) : [];
  if (touched.length + rest.length === 0) return null;
  const outcomes = await tryAll(folder, [...touched, ...rest]);
  const partOf = (of: readonly Outcome[], slips: number) => ({ ...rowOf(folder, slips, of, aside), slips });
  const fall = fallOf(folder.name, kept, partOf(outcomes.filter(({ slip }) => isTouched(slip)), touched.length), partOf(outcomes.filter(({ slip }) => !isTouched(slip)), all.length - touched.length));
  if (fall !== null) falls.push(fall);
  const row = rowOf(folder, all.length, outcomes, aside);
  if (!args.includes('--json')) print(row);
  return row;
}
