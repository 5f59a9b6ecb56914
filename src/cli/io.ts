/**
 * What a command may touch of the world: results go to `out` (stdout), everything else to `err` (stderr), and `signal` tells of Ctrl-C.
 * Tests pass their own.
 */
export interface CliIo {
  out(text: string): void;
  err(text: string): void;
  /** aborted by the first Ctrl-C; a command then ends cleanly with what it has */
  readonly signal: AbortSignal;
  /** whether stderr is a terminal, so that a progress bar makes sense */
  readonly progress: boolean;
}

/** The words of the call are wrong: exit 2. */
export class UsageError extends Error {}

/** The input could not be used: exit 1. The text says what, where and what to do. */
export class InputError extends Error {}

/** Ctrl-C before the work was done: exit 130, as shells have it for a program that the signal ended. */
export class StoppedError extends Error {}

/** Throws StoppedError once Ctrl-C was pressed; `left` says what became of the output. */
export function stopped(signal: AbortSignal, left: string): void {
  if (signal.aborted) throw new StoppedError(`stopped: ${left}`);
}

export const EXIT = { done: 0, badInput: 1, badCall: 2, found: 3, stopped: 130 } as const;
