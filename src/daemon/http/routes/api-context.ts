import type { Clock } from '../../clock.ts';
import { RequestError } from '../../errors.ts';
import type { Request, Response } from '../http-kit.ts';
import type { LongWork } from '../../threads/long-work.ts';
import type { PortAccess } from '../../sources/serial/serial-port.ts';
import { oncePerPercent, type Progress } from '../../store/files/progress.ts';
import type { Store } from '../../store/store.ts';
import type { TraceViews } from '../../threads/trace-views.ts';
import type { ToPage } from '../../../core/wire/messages.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import { check, type Checked } from '../wire-check.ts';

/** What the routes need. */
export interface ApiContext {
  readonly store: Store;
  readonly work: LongWork;
  readonly views: TraceViews;
  readonly clock: Clock;
  /** the serial devices of this computer */
  readonly ports: PortAccess;
  /** for files that a request needs for a while; emptied at start and end */
  readonly scratchDir: string;
  readonly send: (message: ToPage, droppable?: boolean) => void;
}

type Kind = Extract<ToPage, { type: 'progress' }>['what'];

/** The checked value, or 400 with the sentence that says which field is wrong. */
export function accepted<T>(checked: Checked<T>): T {
  if (!checked.ok) throw new RequestError(400, 'bad-request', checked.text);
  return checked.value;
}

/** The trace an address names; its ids are safe as folder names afterwards. */
export function traceRef(request: Request): TraceRef {
  return { jobId: accepted(check.id(request.params['job'])), traceId: accepted(check.id(request.params['trace'])) };
}

/** Aborted when the page gives the request up before it is answered. */
export function requestSignal(response: Response): AbortSignal {
  const controller = new AbortController();
  response.once('close', () => {
    if (!response.writableFinished) controller.abort();
  });
  return controller.signal;
}

/** Tells the pages how far the work is, once a percent. */
export function progressOf(context: ApiContext, ref: TraceRef, what: Kind): Progress {
  return oncePerPercent((fraction) => context.send({ type: 'progress', ...ref, what, fraction }, true));
}

export function sendFrameBody(response: Response, bytes: Uint8Array): void {
  response.type('application/octet-stream').send(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
}

/** Resolves when a file has gone out; a page that gives its download up is no fault. */
export function fileSent(response: Response, send: (done: (error?: Error | null) => void) => void): Promise<void> {
  return new Promise((resolve, reject) => send((error) => (!error || response.destroyed ? resolve() : reject(error))));
}
