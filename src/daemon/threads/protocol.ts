import { parentPort } from 'node:worker_threads';
import { messageOf } from '../errors.ts';
import { oncePerPercent, type Progress } from '../store/files/progress.ts';

/**
 * What goes between the daemon and every thread it works with. Orders are done one after the other in the order they come. Order 0 wants no answer; every other number is answered once, by a value or a fault, after reports of
 * how far it is.
 */
export interface Order<Work> {
  readonly id: number;
  readonly work: Work;
}

interface Fault {
  readonly code: string;
  readonly text: string;
}

export type Answer = { readonly id: number } & ({ readonly value: unknown } | { readonly fault: Fault } | { readonly fraction: number });

/** The side of the thread: hands every order to `work` and sends what it returns, or what it throws, as the answer. */
export function serveOrders<Work>(work: (order: Work, progress: Progress) => unknown, idle?: { readonly afterMs: number; readonly action: () => Promise<void> }): void {
  let before: Promise<void> = Promise.resolve();
  let timer: NodeJS.Timeout | undefined;
  const send = (answer: Answer): void => {
    if (answer.id !== 0) parentPort?.postMessage(answer);
  };
  parentPort?.on('message', ({ id, work: order }: Order<Work>) => {
    before = before.then(async () => {
      clearTimeout(timer);
      const progress = oncePerPercent((fraction) => send({ id, fraction }));
      try {
        const made = work(order, progress);
        send({ id, value: made instanceof Promise ? await made : made });
      } catch (error) {
        const { code } = error as { code?: unknown };
        send({ id, fault: { code: typeof code === 'string' ? code : 'internal', text: messageOf(error) } });
      }
      if (idle !== undefined) timer = setTimeout(() => void (before = before.then(idle.action)), idle.afterMs);
    });
  });
}
