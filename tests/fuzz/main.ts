import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { Coverage } from './coverage.ts';
import { seededRandom } from '../../src/core/random.ts';
import { mutate } from './mutate.ts';
import { makeTargets, type Target } from './targets.ts';

/**
 * Guided fuzzing of everything that reads strangers' bytes: `node --import tsx tests/fuzz/main.ts [--minutes 10] [--seed N] [--only NAME]`. Inputs that reach code not reached before
 * are kept and changed further. What breaks a promise is written to tests/fuzz/cases/, where tests/fuzz/cases.test.ts tries it at every test run.
 */
const { values } = parseArgs({ options: { minutes: { type: 'string', default: '10' }, seed: { type: 'string', default: '1' }, only: { type: 'string' } } });
/** More processor time than this for one input of some kilobytes is a fault: quadratic time. Not the clock's time, for the machine may be busy. */
const MAX_INPUT_MS = 2000;
const MAX_INPUT_BYTES = 60_000;
/** Inputs run between two looks at the coverage, which costs milliseconds. */
const BATCH = 16;

const random = seededRandom(Number(values.seed));
const coverage = new Coverage();
const { targets, close } = await makeTargets();
const chosen = targets.filter(({ name }) => values.only === undefined || values.only === name);
const corpora = new Map<Target, Uint8Array[]>(chosen.map((target) => [target, [...target.seeds]]));
const findings = new Set<string>();
let inputs = 0;

async function attempt(target: Target, bytes: Uint8Array): Promise<void> {
  inputs++;
  const before = process.cpuUsage();
  let fault: string | null = null;
  try {
    await target.run(bytes);
    const used = process.cpuUsage(before);
    const tookMs = (used.user + used.system) / 1000;
    if (tookMs > MAX_INPUT_MS) fault = `took ${Math.round(tookMs)} ms for ${bytes.length} bytes`;
  } catch (error) {
    fault = error instanceof Error ? `${error.name}: ${error.message}\n${error.stack?.split('\n').slice(1, 4).join('\n') ?? ''}` : String(error);
  }
  if (fault === null) return;
  const kind = `${target.name} ${fault.replaceAll(/\d+(\.\d+)?/g, 'N').slice(0, 160)}`;
  if (findings.has(kind)) return;
  findings.add(kind);
  const path = join(import.meta.dirname, 'cases', `${target.name}-${createHash('sha256').update(bytes).digest('hex').slice(0, 10)}.bin`);
  writeFileSync(path, bytes);
  console.log(`FOUND ${target.name}: ${fault}\n  kept as ${path}`);
}

for (const target of chosen) for (const seed of target.seeds) await attempt(target, seed);
coverage.take();
const endMs = performance.now() + Number(values.minutes) * 60_000;
let saidMs = performance.now();
while (performance.now() < endMs) {
  const target = chosen[Math.floor(random() * chosen.length)]!;
  const corpus = corpora.get(target)!;
  const pick = (): Uint8Array => corpus[Math.floor(random() * corpus.length)]!;
  const batch = Array.from({ length: BATCH }, () => {
    const changed = mutate(pick(), pick(), target.words, random, MAX_INPUT_BYTES);
    return target.repair !== undefined && random() < 0.6 ? target.repair(changed) : changed;
  });
  for (const bytes of batch) await attempt(target, bytes);
  if (coverage.take() > 0) {
    // which of them it was is not known: the ones that reach something when run alone would be too slow to find, so all are kept for a while
    corpus.push(...batch);
    if (corpus.length > 400) corpus.splice(target.seeds.length, BATCH);
  }
  if (performance.now() - saidMs > 30_000) {
    saidMs = performance.now();
    console.log(`${inputs} inputs, ${coverage.blocks} blocks of code reached, ${findings.size} findings, ${[...corpora].map(([{ name }, kept]) => `${name} ${kept.length}`).join(', ')}`);
  }
}
console.log(`${inputs} inputs, ${coverage.blocks} blocks of code reached, ${findings.size} findings`);
close();
process.exitCode = findings.size === 0 ? 0 : 1;
