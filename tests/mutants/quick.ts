import { fork } from 'node:child_process';
import { cpSync, mkdirSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { globSync } from 'tinyglobby';
import type { Folder } from './folders.ts';
import { bundleThreads } from './quick/bundle.ts';
import type { Measured, Order, Word } from './quick/child.ts';
import { instrument, type Slip } from './slips.ts';
import type { Outcome } from './try-slips.ts';

/**
 * The quick way: the tests are loaded once, and slip after slip is switched on in one process, so that a slip costs the tests that reach it and nothing else. A loop
 * without end is known by its turns, and in the last resort by the processor time it takes, so that a busy machine gives the same answer as an idle one; only a test that waits for what no longer comes
 * is given up by the clock, long after it would have passed.
 */
const COPY = join('.stryker-tmp', 'quick');
/** Files and folders that are copied, since slips or tests lie in them; all else is a link. */
const COPIED = new Set(['src', 'tests']);
const LEFT = new Set(['node_modules', 'dist', '.git', '.stryker-tmp']);

/** `mostS`: seconds of tests that each slip is tried against, the shortest first; `seen` hears of each slip as soon as it has been tried. */
export async function tryQuickly(folder: Folder, slips: readonly Slip[], mostS: number | null = null, seen: (outcome: Outcome) => void = () => undefined): Promise<Outcome[]> {
  if (slips.length === 0) return [];
  const ids = await makeCopy(slips, folder.name.startsWith('daemon/'));
  const files = globSync([...folder.tests]).sort().map((file) => join(process.cwd(), COPY, file));
  const outcomes = new Map<string, Outcome>();
  const slipOf = new Map([...ids].map(([slip, id]) => [id, slip]));
  const note = (id: string, by: string | null, reached = true): void => {
    const outcome = { slip: slipOf.get(id)!, noticed: by !== null, by, reached };
    outcomes.set(id, outcome);
    seen(outcome);
  };
  const find: { known: Measured | null } = { known: null };
  let left = [...slipOf.keys()];
  const torn = new Set<string>();
  while (left.length > 0) {
    const ended = await runChild({ files, slips: left, only: null, known: find.known, mostS }, note, find);
    // what tears the process may be left from a slip before: it counts when it does so again, in a new one
    if (ended.begun !== null && ended.torn && !torn.has(ended.begun)) {
      torn.add(ended.begun);
      const again = ended.begun;
      left = [again, ...left.filter((id) => id !== again)];
    } else if (ended.begun !== null) note(ended.begun, 'a test without end');
    const loading = find.known?.loading ?? [];
    left = left.filter((id) => !outcomes.has(id) && !loading.includes(id));
    if (ended.begun === null && left.length > 0) throw new Error(`The tests of ${folder.name} ended before all slips were tried.`);
  }
  for (const id of find.known?.loading ?? []) {
    await runChild({ files, slips: [], only: id, known: find.known, mostS }, note, find);
    if (!outcomes.has(id)) note(id, 'a test without end');
  }
  return [...outcomes.values()];
}

/** The copy with the slips as switches; the id of each slip. */
async function makeCopy(slips: readonly Slip[], startsThreads: boolean): Promise<Map<Slip, string>> {
  rmSync(COPY, { recursive: true, force: true });
  mkdirSync(join(COPY, 'node_modules', 'vitest'), { recursive: true });
  for (const name of readdirSync('.')) {
    if (LEFT.has(name)) continue;
    if (COPIED.has(name)) cpSync(name, join(COPY, name), { recursive: true });
    else symlinkSync(join(process.cwd(), name), join(COPY, name));
  }
  writeFileSync(join(COPY, 'node_modules', 'vitest', 'package.json'), JSON.stringify({ name: 'vitest', type: 'module', exports: './index.mjs' }));
  writeFileSync(join(COPY, 'node_modules', 'vitest', 'index.mjs'), "export * from '../../tests/mutants/quick/vitest.ts';\n");
  const { files, ids } = await instrument(slips);
  for (const { name, content } of files) writeFileSync(join(COPY, name), content);
  if (startsThreads) await bundleThreads(COPY);
  return ids;
}

/** Runs one process to its end; `begun` is the slip it died of, `torn` whether by an error of its own. */
function runChild(order: Order, note: (id: string, by: string | null, reached?: boolean) => void, find: { known: Measured | null }): Promise<{ begun: string | null; torn: boolean }> {
  return new Promise((settle, fail) => {
    const child = fork(join('tests', 'mutants', 'quick', 'child.ts'), { cwd: COPY, execArgv: ['--import', 'tsx'], stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
    let begun: string | null = null;
    child.on('message', (word: Word) => {
      if (word.kind === 'begun') begun = word.slip;
      else if (word.kind === 'done') {
        begun = null;
        note(word.slip, word.by, word.reached);
      } else {
        find.known = word.measured;
        for (const name of word.leftOut) console.error(`left out, as it fails without any slip: ${name}`);
      }
    });
    child.on('exit', (_, signal) => (find.known !== null ? settle({ begun, torn: signal !== 'SIGKILL' }) : fail(new Error('The tests could not be run without any slip; what went wrong is shown above.'))));
    child.send(order);
  });
}
