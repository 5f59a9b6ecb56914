import type { ProblemCode } from '../../../core/problems.ts';
import { NOT_PLAIN } from './plain-file.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.storeError;

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

type Explained = readonly [ProblemCode | StoreErrorCode, (what: string, code: string) => string];

const NOT_ALLOWED: Explained = ['read-only', words.cannotThisUserMay];
const FULL: Explained = ['disk-full', words.cannotTheDiskIsFull];
const TAKEN: Explained = ['exists', words.cannotThereIsSomething];
const FAILING: Explained = ['disk-error', words.cannotTheDiskDoes];

/** What the codes of the operating system mean for a file of ours. */
const BY_SYSTEM_CODE = new Map<string, Explained>([
  ['ENOENT', ['not-found', words.cannotItIsNot]],
  ['EACCES', NOT_ALLOWED], ['EPERM', NOT_ALLOWED],
  ['EROFS', ['read-only', words.cannotTheDiskIs]],
  ['ENOSPC', FULL], ['EDQUOT', FULL], ['EFBIG', FULL],
  [NOT_PLAIN, ['wrong-format', words.cannotItIsA]],
  ['EISDIR', ['wrong-format', words.cannotItIsAFolder]],
  ['ENOTDIR', ['not-found', words.cannotPartOfIts]],
  ['EEXIST', TAKEN], ['ENOTEMPTY', TAKEN],
  ['EIO', FAILING], ['ENXIO', FAILING], ['ENODEV', FAILING], ['ESTALE', FAILING],
]);

/** Turns an error of the operating system into a StoreError that says what to do; `what` completes "Cannot …". */
export function explainError(error: unknown, what: string): StoreError {
  if (error instanceof StoreError) return error;
  const code = (error as NodeJS.ErrnoException).code ?? '';
  const explained = BY_SYSTEM_CODE.get(code);
  if (explained === undefined) return new StoreError('disk-error', words.cannot(what, error instanceof Error ? error.message : String(error)));
  return new StoreError(explained[0], explained[1](what, code));
}

/** Throws the StoreError `cancelled` when the signal says so; for long work between two pieces. */
export function checkCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted === true) throw new StoreError('cancelled', words.cancelled);
}
