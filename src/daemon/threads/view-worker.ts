import { parentPort } from 'node:worker_threads';
import type { Problem } from '../../core/problems.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Mark } from '../../core/trace.ts';
import { messageOf } from '../errors.ts';
import { OpenTraces } from './open-traces.ts';
import type { TraceWindow } from '../store/trace-reader.ts';

/** What pages want to see of stored traces, in a thread that lives as long as the daemon: the reader of the logger never waits for a disk. Orders are done in order. */
export type ViewOrder = { readonly id: number; readonly path: string } & ({ readonly do: 'outline' | 'forget' } | { readonly do: 'window'; readonly fromS: number; readonly toS: number; readonly columns: number });

export interface TraceOutline {
  readonly record: TraceRecord;
  readonly marks: readonly Mark[];
  readonly problems: readonly Problem[];
}

export type ViewAnswer = { readonly id: number; readonly value: TraceOutline | TraceWindow | null } | { readonly id: number; readonly fault: { readonly code: string; readonly text: string } };

/** Nobody has looked for so long: the files are closed. */
const IDLE_MS = 60_000;

const traces = new OpenTraces();
let idle: NodeJS.Timeout | undefined;

async function obey(order: ViewOrder): Promise<TraceOutline | TraceWindow | null> {
  if (order.do === 'forget') {
    await traces.forget(order.path);
    return null;
  }
  const reader = await traces.reader(order.path);
  if (order.do === 'window') return reader.window(order.fromS, order.toS, order.columns);
  const { record, marks, problems } = reader;
  return { record, marks, problems };
}

let before: Promise<void> = Promise.resolve();
parentPort?.on('message', (order: ViewOrder) => {
  before = before.then(async () => {
    clearTimeout(idle);
    try {
      parentPort?.postMessage({ id: order.id, value: await obey(order) } satisfies ViewAnswer);
    } catch (error) {
      const { code } = error as { code?: unknown };
      parentPort?.postMessage({ id: order.id, fault: { code: typeof code === 'string' ? code : 'internal', text: messageOf(error) } } satisfies ViewAnswer);
    }
    idle = setTimeout(() => void (before = before.then(() => traces.forgetAll())), IDLE_MS);
  });
});
