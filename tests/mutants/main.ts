import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { wilson } from '../../src/core/analysis/compare/proportion.ts';
import { FOLDERS, type Folder } from './folders.ts';
import { nameOf, sampleOf, slipsOf, type Slip } from './slips.ts';
import { tryQuickly } from './quick.ts';
import { trySlips, type Outcome } from './try-slips.ts';

/**
 * `npm run mutants -- [--folder NAME]... [--sample N] [--seed S] [--quick] [--changed] [--keep] [--json]`: makes small slips in the code, one at a
 * time, and counts those that the folder's own tests notice. `--quick` tries them in one process (quick.ts), for folders whose tests start no other. `--sample` shares N slips evenly among the folders; without it every slip
 * is tried, and what is known from the last time is not tried again. `--changed` tries what differs from main and compares with the
 * baseline; `--keep` writes the baseline.
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
  readonly [folder: string]: { readonly noticed: number; readonly tried: number };
}

/** 97.5 % point of the normal distribution, for bounds of 95 % */
const Z95 = 1.959964;
const HERE = import.meta.dirname;
const BASELINE_FILE = join(HERE, 'baseline.json');
/** a folder may lose this much, as a share, before a change is refused (2 points) */
const MAY_FALL = 0.02;

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
  const unknown = names.find((name) => !FOLDERS.some((folder) => folder.name === name));
  if (unknown !== undefined) throw new Error(`There is no folder ${unknown}. Known: ${FOLDERS.map((folder) => folder.name).join(', ')}.`);
  return names.length === 0 ? FOLDERS : FOLDERS.filter((folder) => names.includes(folder.name));
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
  const alive = counted.filter((outcome) => !outcome.noticed).map(({ slip }) => `${slip.location.start.line + 1}: ${nameOf(slip)}`);
  return { folder: folder.name, slips, tried: counted.length, setAside: outcomes.length - counted.length, noticed, low, high, goal: folder.goal, alive };
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

function print(row: Row): void {
  const share = row.noticed / Math.max(1, row.tried);
  console.log(`${share >= row.goal ? 'met    ' : 'MISSED '} ${row.folder}: ${row.noticed} of ${row.tried} noticed, ${percent(share)} (${percent(row.low)} to ${percent(row.high)}; goal ${percent(row.goal)}); ${row.slips} slips in all, ${row.setAside} of those tried set aside`);
  for (const line of row.alive) console.log(`         not noticed ${line}`);
}

/** Where the touched slips alone pull the folder's share down by more than it may fall. */
function fallen(row: Row, wholeFolder: number, before: Baseline): string | null {
  const known = before[row.folder];
  if (row.tried === 0) return null;
  if (known === undefined) return `${row.folder} has nothing to be compared with: run --folder ${row.folder} --keep on main first`;
  const was = known.noticed / known.tried;
  const now = (was * (wholeFolder - row.tried) + row.noticed) / wholeFolder;
  return was - now > MAY_FALL ? `${row.folder} falls from ${percent(was)} to ${percent(now)}` : null;
}

const sample = numberOf('--sample');
const seed = numberOf('--seed') ?? 1;
const only = args.includes('--changed') ? changedFiles() : null;
const folders = chosenFolders();
const aside = setAside();
const before = existsSync(BASELINE_FILE) ? (JSON.parse(readFileSync(BASELINE_FILE, 'utf8')) as Baseline) : {};
const rows: Row[] = [];
const falls: string[] = [];
for (const folder of folders) {
  const all = await slipsOf(folder, only);
  if (only !== null && all.length === 0) continue;
  const chosen: readonly Slip[] = sample === null ? all : sampleOf(all, Math.ceil(sample / folders.length), seed);
  const known = sample === null && only === null ? join('node_modules', '.cache', 'mutants', `${folder.name.replaceAll('/', '-')}.json`) : null;
  const row = rowOf(folder, all.length, args.includes('--quick') ? await tryQuickly(folder, chosen) : await trySlips(folder, chosen, known), aside);
  rows.push(row);
  if (!args.includes('--json')) print(row);
  const fall = only === null ? null : fallen(row, (await slipsOf(folder, null)).length, before);
  if (fall !== null) falls.push(fall);
}
if (args.includes('--json')) console.log(JSON.stringify({ seed, rows }));
if (args.includes('--keep')) {
  const kept = { ...before, ...Object.fromEntries(rows.map((row) => [row.folder, { noticed: row.noticed, tried: row.tried }])) };
  writeFileSync(BASELINE_FILE, `${JSON.stringify(kept, null, 2)}\n`);
}
for (const fall of falls) console.error(`${fall}.`);
if (falls.length > 0) process.exitCode = 1;
