import type { LoggerInfo } from '../source.ts';

/** True when the logger measures current in another range, or in other steps, than before. */
export function isOtherRange(before: LoggerInfo, now: LoggerInfo): boolean {
  const from = before.channels[0];
  const to = now.channels[0];
  return from !== undefined && to !== undefined && (from.scale !== to.scale || from.range[0] !== to.range[0] || from.range[1] !== to.range[1]);
}
