import type { EndCause } from '../../../../core/tracefile/record.ts';
import { language } from '../../../../core/present/language.ts';
import { TAKEN_OVER } from '../../files/append-file.ts';
import { explainError, StoreError } from '../../files/store-error.ts';

const words = language.daemon.store.captureEnd;

/** How a capture ends. */
export interface CaptureEnd {
  readonly cause: EndCause;
  /** one sentence for the page */
  readonly text: string;
  /** what kept it from writing; only where the disk, or another program, has stopped it */
  readonly why?: StoreError;
}

/** Ends after which nothing can be written into the folder any more. */
const NOT_WRITABLE: ReadonlySet<EndCause> = new Set(['disk-full', 'disk-error', 'lock-lost']);

export function mayStillWrite(end: CaptureEnd | null): boolean {
  return end === null || !NOT_WRITABLE.has(end.cause);
}

export function isTakenOver(error: unknown): boolean {
  return (error as NodeJS.ErrnoException).code === TAKEN_OVER;
}

/** How a capture ends that the disk, or another program, has stopped. */
export function endBy(error: unknown, folder: string): CaptureEnd {
  const why = isTakenOver(error) ? new StoreError('lock-lost', words.anotherProgramHasWrittenInto(folder)) : explainError(error, words.writeTo(folder));
  const cause = why.code === 'lock-lost' || why.code === 'disk-full' ? why.code : 'disk-error';
  return { cause, text: words.recordingHasEndedWhat(why.message), why };
}

/** For what has to be written whole: throws the StoreError that kept a capture from it. */
export function checkWritten(end: CaptureEnd | null): void {
  if (end?.why !== undefined) throw end.why;
}
