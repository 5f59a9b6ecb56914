import type { Pull } from '../../results.ts';

/** What is left of the sleeping level when every carrying fuse's own part is taken away; null without pulls. Repeated pulls count once, by their mean. */
export function unexplainedCurrent(levelA: number | null, pulls: readonly Pull[]): number | null {
  if (levelA === null || pulls.length === 0) return null;
  const known = new Set(pulls.filter((pull) => pull.carries !== null).map((pull) => pull.label));
  // one that was not measured may carry all of it
  if (pulls.some((pull) => !known.has(pull.label) && -pull.low_a > levelA / 2)) return null;
  let leftA = levelA;
  for (const partA of contributions(pulls).values()) leftA -= partA;
  return leftA;
}

/** Current carried by each fuse that carries any, A. */
function contributions(pulls: readonly Pull[]): Map<string, number> {
  const sums = new Map<string, { sumA: number; count: number }>();
  for (const pull of pulls) {
    if (pull.carries !== true) continue;
    const entry = sums.get(pull.label) ?? { sumA: 0, count: 0 };
    entry.sumA -= pull.change_a;
    entry.count++;
    sums.set(pull.label, entry);
  }
  return new Map([...sums].map(([label, { sumA, count }]) => [label, sumA / count]));
}

/**
 * Labels of the fuses that share the drain, largest first: more than one, when the largest alone does not bring the level under the
 * limit, or the second one is no normal draw, and others carry a like amount. Empty otherwise, and when all of them together are not what the drain is.
 */
export function sharedDrain(pulls: readonly Pull[], levelA: number | null, limitA: number): string[] {
  if (levelA === null || levelA <= limitA) return [];
  const parts = [...contributions(pulls)].sort((a, b) => b[1] - a[1]);
  if (parts.length < 2) return [];
  if (levelA - parts[0][1] <= limitA && parts[1][1] < limitA / 2) return [];
  const sharing = parts.filter(([, partA]) => partA >= parts[0][1] / 2);
  const togetherA = sharing.reduce((sum, [, partA]) => sum + partA, 0);
  if (togetherA < (levelA - limitA) / 2) return [];
  return sharing.length > 1 ? sharing.map(([label]) => label) : [];
}
