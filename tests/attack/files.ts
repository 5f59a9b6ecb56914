import { cpSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { recoverTrace } from '../../src/daemon/store/samples/mending/recover.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { kill9, startChild } from '../faults/kit.ts';
import { mutate } from '../fuzz/mutate.ts';
import { makeTargets } from '../fuzz/targets.ts';
import { must, type Attack, type Figure, type Ground } from './attack.ts';

const ROWS_A_BLOCK = 200;
const BLOCKS = 30;
/** the tail that the README says a crash may cost, and half a second for a busy machine */
const LOST_AT_MOST_S = 1.5;
const MAX_INPUT_BYTES = 60_000;

/** A recorder that is killed without warning at a moment of no choice. */
export const kills: Attack = { name: 'kills', share: 0.1, run: killAgain };
/** Samples cut off at any byte, and bits turned over in them. */
export const cuts: Attack = { name: 'cuts and flips', share: 0.1, run: cutAgain };
/** Bytes made to harm, into every reader. */
export const hostileFiles: Attack = { name: 'hostile files', share: 0.16, run: feed };

async function killAgain({ forMs, folder, random }: Ground): Promise<Figure[]> {
  const endMs = performance.now() + forMs;
  let count = 0;
  let unsound = 0;
  let mostLostS = 0;
  while (count === 0 || performance.now() < endMs) {
    const path = join(folder, `killed-${count++}`);
    const atS = 0.2 + random() * 2;
    let handedOverS = 0;
    await new Promise<void>((resolve, reject) => {
      const child = startChild('recording', [path], (line) => {
        handedOverS = Math.max(handedOverS, Number(line));
        if (handedOverS >= atS && !child.killed) kill9(child).then(resolve, reject);
      });
    });
    await recoverTrace(path);
    const reader = await openTrace(path);
    mostLostS = Math.max(mostLostS, handedOverS - reader.lastS);
    await reader.close();
    if (!(await verifyTrace(path)).ok) unsound++;
  }
  return [
    { what: 'recorders killed', value: count, unit: '' },
    must('recordings that did not open whole', unsound, '', '0', unsound === 0),
    must('most that was lost', mostLostS, 's', `<= ${LOST_AT_MOST_S}`, mostLostS <= LOST_AT_MOST_S, true),
  ];
}

async function makeTrace(path: string): Promise<void> {
  const writer = await TraceWriter.create(path, emptyTraceRecord('cut', '2026-03-02T08:00:00.000Z', 'attack'), { durable: false });
  for (let block = 0; block < BLOCKS; block++) {
    const at = (i: number): number => block * ROWS_A_BLOCK + i;
    writer.append({ timeS: Float64Array.from({ length: ROWS_A_BLOCK }, (_, i) => at(i) / 1000), currentA: Float32Array.from({ length: ROWS_A_BLOCK }, (_, i) => at(i)), voltageV: null });
    await writer.flush();
  }
  await writer.finish('stopped');
}

async function cutAgain({ forMs, folder, random }: Ground): Promise<Figure[]> {
  const whole = join(folder, 'whole');
  await makeTrace(whole);
  const size = readFileSync(join(whole, 'samples.arrows')).length;
  const endMs = performance.now() + forMs;
  const count = { cut: 0, flipped: 0, false: 0, missed: 0, unsound: 0 };
  for (let i = 0; i < 2 || performance.now() < endMs; i++) {
    const path = join(folder, 'hurt');
    rmSync(path, { recursive: true, force: true });
    cpSync(whole, path, { recursive: true });
    const samples = join(path, 'samples.arrows');
    if (i % 2 === 0) {
      count.cut++;
      const record = JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as object;
      writeFileSync(join(path, 'trace.json'), JSON.stringify({ ...record, end: 'running', sha256: null }));
      truncateSync(samples, Math.floor(random() * size));
      await recoverTrace(path).catch(() => undefined);
      if (!(await verifyTrace(path).then(({ ok, samples: left }) => ok || left === 0, refused))) count.unsound++;
    } else {
      count.flipped++;
      const bytes = readFileSync(samples);
      bytes[Math.floor(random() * size)]! ^= 1 << Math.floor(random() * 8);
      writeFileSync(samples, bytes);
      if (await verifyTrace(path).then(({ ok }) => ok, () => false)) count.missed++;
    }
    if (!(await readsTrue(path))) count.false++;
  }
  return [
    { what: 'cut at any byte', value: count.cut, unit: '' },
    { what: 'one bit turned over', value: count.flipped, unit: '' },
    must('a value was read that was never recorded', count.false, '', '0', count.false === 0),
    must('turned bits that verify does not see', count.missed, '', '0', count.missed === 0),
    must('cut ones that are not sound after mending', count.unsound, '', '0', count.unsound === 0),
  ];
}

/** Refused in words is an answer; anything else is a fault of the reader. */
function refused(error: unknown): boolean {
  return (error as Error).name === 'StoreError';
}

/** Whether every sample that is read is one that was recorded: its value tells its place. */
async function readsTrue(path: string): Promise<boolean> {
  try {
    const reader = await openTrace(path);
    try {
      for await (const { timeS, currentA } of reader.blocks()) {
        for (let i = 0; i < timeS.length; i++) if (currentA[i] !== Math.round(timeS[i]! * 1000)) return false;
      }
      return true;
    } finally {
      await reader.close();
    }
  } catch (error) {
    return refused(error);
  }
}

async function feed({ forMs, random }: Ground): Promise<Figure[]> {
  const { targets, close } = await makeTargets();
  const endMs = performance.now() + forMs;
  const faults = new Map<string, string>();
  let inputs = 0;
  try {
    while (inputs < targets.length || performance.now() < endMs) {
      const target = targets[inputs++ % targets.length]!;
      const pick = (): Uint8Array => target.seeds[Math.floor(random() * target.seeds.length)]!;
      const changed = mutate(pick(), pick(), target.words, random, MAX_INPUT_BYTES);
      const bytes = target.repair !== undefined && random() < 0.6 ? target.repair(changed) : changed;
      try {
        await target.run(bytes);
      } catch (error) {
        faults.set(target.name, error instanceof Error ? error.message : String(error));
      }
    }
  } finally {
    close();
  }
  return [{ what: 'inputs', value: inputs, unit: '' }, must(`readers that broke a promise${[...faults].map(([name, text]) => `; ${name}: ${text.slice(0, 80)}`).join('')}`, faults.size, '', '0', faults.size === 0)];
}
