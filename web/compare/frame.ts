import type { Line } from '../../src/core/wire/prove.ts';

/** One time span and one height for all lines, so that small plots of them compare at a glance. */
export function frameOf(lines: readonly Line[]): { startS: number; endS: number; highA: number } {
  const frame = { startS: 0, endS: 0.1, highA: 0.1 };
  for (const { timeS, currentA } of lines) {
    frame.startS = Math.min(frame.startS, timeS[0] ?? 0);
    frame.endS = Math.max(frame.endS, timeS[timeS.length - 1] ?? 0);
    for (const valueA of currentA) frame.highA = Math.max(frame.highA, valueA);
  }
  return frame;
}
