import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SampleBlock } from '../../src/core/trace.ts';
import type { ToPage } from '../../src/core/wire/messages.ts';
import { SYSTEM_CLOCK } from '../../src/daemon/clock.ts';
import { Hub } from '../../src/daemon/live/hub.ts';
import { LiveAnalysisRunner } from '../../src/daemon/live/analysis.ts';
import { captureRecord } from '../../src/daemon/recording/capture-record.ts';
import { Recorder } from '../../src/daemon/recording/recorder.ts';
import type { LoggerInfo, Source, SourceSink } from '../../src/daemon/sources/source.ts';
import { Store } from '../../src/daemon/store/store.ts';
import { heldBytes } from './held-memory.ts';
import type { BenchRow } from './row.ts';

const RATE_HZ = 1000;
const BLOCK_ROWS = 10_000;
const HOURS = 72;
const LOGGER: LoggerInfo = { kind: 'logger', name: 'hand', serial: 'H1', firmware: '1', rateHz: RATE_HZ, channels: [{ name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-60, 60] }, { name: 'voltage', unit: 'V', scale: 0.001, zero: 0, range: [0, 32] }] };

/** Three days recorded, analysed and shown as fast as they go: what the daemon holds, and the files it has open, after the first hour and at the end. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  for (const test of ['actuation', 'drain'] as const) rows.push(...(await soak(test, quick ? 4 : HOURS)));
  return rows;
}

/** One of the two; says each hour what is held. */
export async function soak(test: 'actuation' | 'drain', hours: number): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-soak-'));
  const store = await Store.open(join(folder, 'data'), { software: 'bench' });
  let results = 0;
  let flush = async (): Promise<void> => undefined;
  let sink: SourceSink | null = null;
  const source: Source = { spec: 'hand:1', start: (given) => void (sink = given), stop: async () => undefined, control: () => ({ ok: false, text: '' }) };
  const recorder: Recorder = new Recorder({
    clock: SYSTEM_CLOCK,
    create: async (facts, _startS, limits) => {
      const { ref, writer } = await store.startTrace(null, captureRecord('', { ...facts, start: new Date(0) }), { ...limits, durable: false });
      flush = () => writer.flush();
      return { ...ref, writer };
    },
    send: () => undefined,
    onStart: () => hub.recordingStarted(),
    onEnding: () => undefined,
    onEnd: () => undefined,
  });
  const analysis = new LiveAnalysisRunner({ clock: SYSTEM_CLOCK, onResult: () => void results++, onFault: (text) => { throw new Error(text); } });
  const send = (_message: ToPage): void => undefined;
  const hub: Hub = new Hub({ openSource: () => source, recorder, analysis, clock: SYSTEM_CLOCK, hello: { version: '', dataFolder: '', scenarios: [], access: 'operate' } as never, send, sendFrame: () => undefined, recordedWindow: async () => null, recordedCharge: async () => { throw new Error('not here'); } });
  try {
    await hub.start('hand:1');
    sink!.logger(LOGGER);
    sink!.state({ state: 'live', text: 'Sending.' });
    hub.test.choose({ test, actuation: {}, drain: {}, jobId: null, title: '' });
    const make = test === 'actuation' ? presses : night;
    sink!.samples(make(0));
    const refusal = await recorder.start();
    if (refusal !== null) throw new Error(refusal);
    const held: number[] = [];
    const resident: number[] = [];
    const files: number[] = [];
    const blocksAnHour = (3600 * RATE_HZ) / BLOCK_ROWS;
    for (let block = 1; block <= hours * blocksAnHour; block++) {
      sink!.samples(make(block * BLOCK_ROWS));
      // a bad plug: a hole now and then
      if (block % 50 === 0) sink!.gap({ startS: ((block + 1) * BLOCK_ROWS - 1) / RATE_HZ, endS: ((block + 1) * BLOCK_ROWS) / RATE_HZ });
      if (block % 7 === 0) await new Promise((resolve) => setImmediate(resolve));
      if (block % blocksAnHour !== 0) continue;
      hub.mark('note', `hour ${block / blocksAnHour}`);
      // what was handed to the analysis and to the disk is done before it is measured
      await analysis.resultNow();
      await flush();
      await new Promise((resolve) => setTimeout(resolve, 100));
      held.push(heldBytes());
      resident.push(process.memoryUsage.rss());
      files.push(openFiles());
      console.error(`${test}, hour ${held.length} of ${hours}: ${(held.at(-1)! / 2 ** 20).toFixed(1)} MiB held, ${(resident.at(-1)! / 2 ** 20).toFixed(0)} MiB resident, ${files.at(-1)} files`);
    }
    const name = `${hours} h simulated, ${test === 'actuation' ? 'motor test' : 'key-off test'} recorded and analysed`;
    const growth = held[held.length - 1]! / held[0]! - 1;
    return [
      { name: `${name}: growth of what the daemon holds after the first hour (${(held.at(-1)! / 2 ** 20).toFixed(0)} MiB at the end, ${results} live results)`, value: 100 * growth, unit: '%', anchor: 'held after the first hour', goal: '< 10', met: growth < 0.1 },
      { name: `${name}: growth of the process's resident memory, threads and garbage included (${(resident.at(-1)! / 2 ** 20).toFixed(0)} MiB at the end)`, value: 100 * (resident.at(-1)! / resident[0]! - 1), unit: '%', anchor: 'resident after the first hour', goal: '< 10', met: resident.at(-1)! < 1.1 * resident[0]! },
      { name: `${name}: open files more than after the first hour`, value: files[files.length - 1]! - files[0]!, unit: 'files', anchor: 'open after the first hour', goal: '<= 0', met: files[files.length - 1]! <= files[0]! },
    ];
  } finally {
    await hub.stop();
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

function openFiles(): number {
  return readdirSync('/proc/self/fd').length;
}

function blockOf(from: number, currentOf: (atS: number, noise: number) => number): SampleBlock {
  const timeS = new Float64Array(BLOCK_ROWS);
  const currentA = new Float32Array(BLOCK_ROWS);
  const voltageV = new Float32Array(BLOCK_ROWS).fill(12.5);
  let state = (from * 2654435761) >>> 0;
  for (let i = 0; i < BLOCK_ROWS; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    timeS[i] = (from + i) / RATE_HZ;
    currentA[i] = currentOf(timeS[i]!, state / 2 ** 32 - 0.5);
  }
  return { timeS, currentA, voltageV };
}

/** A press of three seconds every minute: 4,320 of them. */
function presses(from: number): SampleBlock {
  return blockOf(from, (atS, noise) => {
    const inPressS = atS % 60;
    return (inPressS > 3 ? 0 : 4 + 9 * Math.exp(-inPressS / 0.08)) + 0.06 * noise;
  });
}

/** Asleep, woken for twenty seconds every ten minutes. */
function night(from: number): SampleBlock {
  return blockOf(from, (atS, noise) => (atS < 900 || atS % 600 < 20 ? 0.9 : 0.018) + 0.004 * noise);
}
