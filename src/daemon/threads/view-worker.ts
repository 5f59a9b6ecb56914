import type { Problem } from '../../core/problems.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Mark } from '../../core/trace.ts';
import type { TraceWindow } from '../store/samples/types.ts';
import { OpenTraces } from './open-traces.ts';
import { serveOrders } from './protocol.ts';

/** What pages want to see of stored traces, in a thread that lives as long as the daemon: the reader of the logger never waits for a disk. */
export type ViewOrder = { readonly path: string } & ({ readonly do: 'outline' | 'forget' } | { readonly do: 'window'; readonly fromS: number; readonly toS: number; readonly columns: number });

export interface TraceOutline {
  readonly record: TraceRecord;
  readonly marks: readonly Mark[];
  readonly problems: readonly Problem[];
}

/** Nobody has looked for so long: the files are closed. */
const IDLE_MS = 60_000;

const traces = new OpenTraces();

async function view(order: ViewOrder): Promise<TraceOutline | TraceWindow | null> {
  if (order.do === 'forget') {
    await traces.forget(order.path);
    return null;
  }
  const reader = await traces.reader(order.path);
  if (order.do === 'window') return reader.window(order.fromS, order.toS, order.columns);
  const { record, marks, problems } = reader;
  return { record, marks, problems };
}

serveOrders(view, { afterMs: IDLE_MS, action: () => traces.forgetAll() });
