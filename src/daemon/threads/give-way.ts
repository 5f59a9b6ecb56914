import { readlinkSync } from 'node:fs';
import { constants, getPriority, setPriority } from 'node:os';
import { isMainThread } from 'node:worker_threads';

/**
 * How far a thread with long work stands back, in nice values: at 5 the scheduler of Linux gives it a third of the share of a thread at 0
 * (weights 335 and 1024, sched(7) and the kernel's `sched_prio_to_weight`), so that the thread that reads the logger gets a processor as soon
 * as it wants one. The live analysis does not stand back: what a motor does now is wanted now, also beside a busy browser.
 */
const NICE = 5;

/**
 * Called in a worker thread: lets the thread that reads the logger go first where fewer processors than threads are free. Linux alone gives
 * each thread a priority of its own (setpriority(2), "C library/kernel differences"); elsewhere nothing is done, since there it would be that of the whole process.
 */
export function giveWay(): void {
  if (process.platform !== 'linux' || isMainThread) return;
  try {
    // "PID/task/TID"
    const thread = Number(readlinkSync('/proc/thread-self').split('/').at(-1));
    if (Number.isInteger(thread) && thread > 0) setPriority(thread, Math.min(constants.priority.PRIORITY_LOW, getPriority() + NICE));
  } catch {
    // no /proc here, or it is not allowed: the work is the same, only later
  }
}
