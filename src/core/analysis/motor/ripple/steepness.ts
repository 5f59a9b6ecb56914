import { HIGHEST_SHARE, type RippleWindows } from './ripple-windows.ts';
import { meanShare, type SpeedCourse } from './speed-course.ts';
import { CLEAR_PART, NEARLY_ALL } from '../signal/decision-levels.ts';

/** tried steepnesses: the standstill current is 0.9 to 5 times the highest seen (a slow clamp or a late switch-on lowers it) */
export const STEEPNESSES = Array.from({ length: 9 }, (_steepness, s) => 0.15 * s);

/** share of the frequency; what the motor's law leaves open (warming, brushes, a sagging feed). Scored */
export const LAW_UNCERTAINTY = 0.0025;

/** One press as far as the search for the steepness is concerned. */
interface Aligned {
  readonly windows: RippleWindows;
  readonly course: SpeedCourse | null;
  /** bins that the idle clamp shows too */
  readonly idleBins: Uint8Array | null;
  /** power of the surroundings of each bin, of all windows as recorded */
  readonly floors: Float64Array;
}

/**
 * How steeply the speed of this motor falls with its current: the steepness that gathers the power of the windows' spectra into the
 * narrowest lines once each is stretched to the usual speed. All presses of a trace count together, since they show one motor; what is expected counts
 * as well, and alone where the current hardly changes.
 */
export function commonSteepness(presses: readonly Aligned[]): number {
  const used = presses.filter((press) => press.course !== null && press.windows.starts.length > 2 && isUneven(press));
  if (used.length === 0) return NEARLY_ALL;
  // a rotor that stood shows its standstill current (1); a switch-on through the clamp and the coil nearly all of it, give or take a clear part
  let best = 0;
  let most = -Infinity;
  for (const steepness of STEEPNESSES) {
    let sum = -Math.sqrt(used.length) * ((steepness - NEARLY_ALL) / CLEAR_PART) ** 2 / 2;
    for (const press of used) sum += Math.log(concentration(press, steepness));
    if (sum > most) [most, best] = [sum, steepness];
  }
  return best;
}

/** Whether the current changed enough to move the speed of a motor by more than its law leaves open. */
export function isUneven({ windows, course }: Pick<Aligned, 'windows' | 'course'>): boolean {
  if (course === null) return false;
  const shares = windows.starts.map((start) => meanShare(course, 1, start, start + windows.length));
  return Math.max(...shares) - Math.min(...shares) > LAW_UNCERTAINTY;
}

/** How narrow the lines are: sum of squares over squared sum of the power, each bin against its surroundings, by frequency at the usual speed. */
function concentration({ windows, course, idleBins, floors }: Aligned, steepness: number): number {
  const { length, starts, spectra, lowestBin } = windows;
  const last = Math.floor(HIGHEST_SHARE * length);
  const total = new Float64Array(last + 1);
  for (const [w, power] of spectra.entries()) {
    const share = course === null ? 1 : meanShare(course, steepness, starts[w], starts[w] + length);
    for (let k = lowestBin; k <= last; k++) {
      const at = k * share;
      const bin = Math.floor(at);
      if (bin + 1 >= power.length || (idleBins !== null && (idleBins[bin] === 1 || idleBins[bin + 1] === 1))) continue;
      total[k] += power[bin] + (power[bin + 1] - power[bin]) * (at - bin);
    }
  }
  return narrowness(total, floors, lowestBin, last);
}

function narrowness(total: Float64Array, floors: Float64Array, lowestBin: number, last: number): number {
  let sum = 0;
  let squares = 0;
  for (let k = lowestBin; k <= last; k++) {
    const over = total[k] / floors[k];
    sum += over;
    squares += over * over;
  }
  return sum > 0 ? squares / (sum * sum) : 1;
}

/** The same for windows that are at the usual speed already. */
export function concentrationOf({ total, lowestBin, length }: RippleWindows, floors: Float64Array): number {
  return narrowness(total, floors, lowestBin, Math.floor(HIGHEST_SHARE * length));
}
