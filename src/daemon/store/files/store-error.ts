import type { ProblemCode } from '../../../core/problems.ts';
import { NOT_PLAIN } from './plain-file.ts';
import { en } from '../../../core/present/en/index.ts';

const words = en.daemon.store.storeError;

/** What the store cannot do, in words for a person: what, where, what to do. `code` is for programs. */
export class StoreError extends Error {
  readonly code: ProblemCode | StoreErrorCode;

  constructor(code: ProblemCode | StoreErrorCode, text: string) {
    super(text);
    this.name = 'StoreError';
    this.code = code;
  }
}

export type StoreErrorCode = 'not-found' | 'exists' | 'bad-name' | 'in-use' | 'read-only' | 'disk-full' | 'disk-error' | 'cancelled' | 'running' | 'lock-lost' | 'bad-request' | 'internal' | 'closing';

/** Turns an error of the operating system into a StoreError that says what to do; `what` completes "Cannot …". */
export function explainError(error: unknown, what: string): StoreError {
  if (error instanceof StoreError) return error;
  const code = (error as NodeJS.ErrnoException).code ?? '';
  switch (code) {
    case 'ENOENT':
      return new StoreError('not-found', words.cannotItIsNot(what));
    case 'EACCES':
    case 'EPERM':
      return new StoreError('read-only', words.cannotThisUserMay(what));
    case 'EROFS':
      return new StoreError('read-only', words.cannotTheDiskIs(what));
    case 'ENOSPC':
    case 'EDQUOT':
    case 'EFBIG':
      return new StoreError('disk-full', words.cannotTheDiskIsFull(what));
    case NOT_PLAIN:
      return new StoreError('wrong-format', words.cannotItIsA(what));
    case 'EISDIR':
      return new StoreError('wrong-format', words.cannotItIsAFolder(what));
    case 'ENOTDIR':
      return new StoreError('not-found', words.cannotPartOfIts(what));
    case 'EEXIST':
    case 'ENOTEMPTY':
      return new StoreError('exists', words.cannotThereIsSomething(what));
    case 'EIO':
    case 'ENXIO':
    case 'ENODEV':
    case 'ESTALE':
      return new StoreError('disk-error', words.cannotTheDiskDoes(what, code));
    default:
      return new StoreError('disk-error', words.cannot(what, error instanceof Error ? error.message : String(error)));
  }
}

/** Throws the StoreError `cancelled` when the signal says so; for long work between two pieces. */
export function checkCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted === true) throw new StoreError('cancelled', words.cancelled);
}

/** Share done, 0 to 1, of long work. */
export type Progress = (share: number) => void;
