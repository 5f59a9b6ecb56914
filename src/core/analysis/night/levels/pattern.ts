import { PATTERN } from '../settings.ts';

/** True when events are many and happen throughout `[fromS, toS)`: with the stretch cut in as many parts as make a pattern, in more than half of them. */
export function goesOn(startS: readonly number[], fromS: number, toS: number): boolean {
  if (startS.length < PATTERN) return false;
  const parts = new Set(startS.map((atS) => Math.floor((PATTERN * (atS - fromS)) / (toS - fromS))));
  return parts.size > PATTERN / 2;
}
