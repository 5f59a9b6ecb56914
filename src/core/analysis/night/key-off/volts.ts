import { median } from '../../../stats.ts';
import type { Voltage } from '../levels/voltage-track.ts';

/** A system of two batteries in series is above this, V (ISO 16750-2, table 1 and 2: 16 V at most for one). */
const TWO_BATTERIES_V = 18;

/** How many batteries of 12 V are in series. */
export function batteriesOf({ meanV }: Voltage): number {
  return median(meanV) > TWO_BATTERIES_V ? 2 : 1;
}
