import type { ProblemCode } from '../../../core/problems.ts';
import { NOT_PLAIN } from './plain-file.ts';

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
      return new StoreError('not-found', `Cannot ${what}: it is not there. Check the name; if the folder is on a removable or network disk, check that the disk is connected.`);
    case 'EACCES':
    case 'EPERM':
      return new StoreError('read-only', `Cannot ${what}: this user may not. Change the folder's permissions, or choose another one with --data DIR.`);
    case 'EROFS':
      return new StoreError('read-only', `Cannot ${what}: the disk is read-only. Mount it for writing, or choose another folder with --data DIR.`);
    case 'ENOSPC':
    case 'EDQUOT':
    case 'EFBIG':
      return new StoreError('disk-full', `Cannot ${what}: the disk is full. Free some space, or choose a folder on another disk with --data DIR.`);
    case NOT_PLAIN:
      return new StoreError('wrong-format', `Cannot ${what}: it is a pipe or a device, not a file. Give a trace folder, or a file on a disk.`);
    case 'EISDIR':
      return new StoreError('wrong-format', `Cannot ${what}: it is a folder.`);
    case 'ENOTDIR':
      return new StoreError('not-found', `Cannot ${what}: part of its path is a file, not a folder.`);
    case 'EEXIST':
    case 'ENOTEMPTY':
      return new StoreError('exists', `Cannot ${what}: there is something of that name already. Choose another name.`);
    case 'EIO':
    case 'ENXIO':
    case 'ENODEV':
    case 'ESTALE':
      return new StoreError('disk-error', `Cannot ${what}: the disk does not answer properly (${code}). Check its cable and its health; record on another disk.`);
    default:
      return new StoreError('disk-error', `Cannot ${what}: ${error instanceof Error ? error.message : String(error)}.`);
  }
}

/** Throws the StoreError `cancelled` when the signal says so; for long work between two pieces. */
export function checkCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted === true) throw new StoreError('cancelled', 'Cancelled.');
}

/** Share done, 0 to 1, of long work. */
export type Progress = (share: number) => void;
