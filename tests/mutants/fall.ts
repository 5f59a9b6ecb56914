/** What is kept of a folder: so many of those tried were noticed, and the sample that gives the same slips again. */
export interface Kept {
  readonly noticed: number;
  readonly tried: number;
  readonly sample: number | null;
  readonly seed: number;
}

/** A part of a folder's slips, and what became of those of it that were tried. */
export interface Part {
  readonly slips: number;
  readonly tried: number;
  readonly noticed: number;
}

/** a folder may lose this much, as a share, before a change is refused (2 points) */
const MAY_FALL = 0.02;

export const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

/**
 * Why a change is refused, or null. `touched` are the slips of the files that the change touches, all tried; `rest` those of the other files: tried anew (the kept sample) where the folder's tests
 * changed, else not tried, and taken to be noticed as often as before.
 */
export function fallOf(folder: string, kept: Kept | undefined, touched: Part, rest: Part): string | null {
  if (touched.tried + rest.tried === 0) return null;
  if (kept === undefined || kept.tried === 0) return `${folder} has nothing to be compared with: run --folder ${folder} --keep on main first`;
  const was = kept.noticed / kept.tried;
  const shareOf = ({ tried, noticed }: Part): number => (tried === 0 ? was : noticed / tried);
  const now = (shareOf(touched) * touched.slips + shareOf(rest) * rest.slips) / (touched.slips + rest.slips);
  // a hundredth of a point is rounding
  return was - now > MAY_FALL + 1e-4 ? `${folder} falls from ${percent(was)} to ${percent(now)}` : null;
}
