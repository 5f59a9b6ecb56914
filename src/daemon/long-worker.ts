import { parentPort, workerData } from 'node:worker_threads';
import { messageOf } from './errors.ts';
import { analyseStored, chargeStored, type StoredTest } from './stored-analysis.ts';
import { openTrace } from './store/trace-reader.ts';

/** One piece of long work on stored traces, in a thread of its own; ending the thread cancels it. */
export type LongOrder =
  | ({ readonly do: 'analyse'; readonly path: string } & StoredTest)
  | { readonly do: 'charge'; readonly path: string; readonly fromS: number; readonly toS: number };

export type LongAnswer = { readonly fraction: number } | { readonly value: unknown } | { readonly fault: { readonly code: string; readonly text: string; readonly status: number } };

/** Fractions are told in steps of one percent. */
let told = 0;
function progress(fraction: number): void {
  if (fraction < told + 0.01) return;
  told = fraction;
  answer({ fraction });
}

function answer(message: LongAnswer): void {
  parentPort?.postMessage(message);
}

async function obey(order: LongOrder): Promise<unknown> {
  const reader = await openTrace(order.path);
  try {
    switch (order.do) {
      case 'analyse':
        return await analyseStored(reader, order, progress);
      case 'charge':
        return await chargeStored(reader, order.fromS, order.toS);
    }
  } finally {
    await reader.close();
  }
}

try {
  answer({ value: await obey(workerData as LongOrder) });
} catch (error) {
  const { code, status } = error as { code?: unknown; status?: unknown };
  answer({ fault: { code: typeof code === 'string' ? code : 'internal', text: messageOf(error), status: typeof status === 'number' ? status : 422 } });
}
