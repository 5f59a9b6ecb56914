import type { Contribution } from './budget.ts';
import { NORMAL_95 } from './normal-95.ts';

/**
 * Where the uncertainty of a figure comes from (JCGM 100:2008, 5.1). `noise`: what differs from reading to reading, and from press to
 * press where several are joined · `resolution`: the converter's step · `zero`: as it was set · `zero-unknown`: where
 * nobody said how it was set, what such a sensor's may be off by · `zero-drift`: how far it may have moved
 * since · `gain`: the scale · `temperature`: the zero, warmer or colder than when it was set · `bandwidth`: a sensor slower than the
 * current · `model`: what the method leaves out.
 */
const UNCERTAINTY_SOURCES = ['noise', 'resolution', 'zero', 'zero-unknown', 'zero-drift', 'gain', 'temperature', 'bandwidth', 'model'] as const;
export type UncertaintySource = (typeof UNCERTAINTY_SOURCES)[number];

/**
 * The parts of a figure's uncertainty as standard uncertainties (k = 1) in the unit of the figure, the largest first. The parts are
 * independent of each other; their root of squares times 1.96 is half the width of the figure's 95 % bounds.
 */
export type UncertaintyPart = Contribution<UncertaintySource>;

/** of the largest part: what is smaller is arithmetic and no uncertainty */
const NOTHING = 1e-6;

/** Parts joined by source in squares, largest first; what adds nothing is left out. */
export function joinedParts(...lists: readonly (readonly UncertaintyPart[])[]): UncertaintyPart[] {
  const squares = new Map<UncertaintySource, number>();
  for (const list of lists) for (const { source, contribution } of list) squares.set(source, (squares.get(source) ?? 0) + contribution ** 2);
  const least = NOTHING ** 2 * Math.max(0, ...squares.values());
  return [...squares].flatMap(([source, square]) => (square > least ? [{ source, contribution: Math.sqrt(square) }] : [])).sort((a, b) => b.contribution - a.contribution);
}

/** The same from standard uncertainties by source. */
export function partsOf(sizes: Partial<Record<UncertaintySource, number>>): UncertaintyPart[] {
  return joinedParts(UNCERTAINTY_SOURCES.map((source) => ({ source, contribution: Math.abs(sizes[source] ?? 0) })));
}

/** Every part times a slope: of a figure that is worked out from another one. */
export function scaledParts(parts: readonly UncertaintyPart[], slope: number): UncertaintyPart[] {
  return parts.map(({ source, contribution }) => ({ source, contribution: Math.abs(slope) * contribution }));
}

/** Combined standard uncertainty (JCGM 100:2008, 5.1.2). */
export function combinedOf(parts: readonly UncertaintyPart[]): number {
  return Math.hypot(...parts.map(({ contribution }) => contribution));
}

/** Half the width of the 95 % bounds. */
export function halfWidthOf(parts: readonly UncertaintyPart[]): number {
  return NORMAL_95 * combinedOf(parts);
}

/** Without what one sensor does alike to both sides of a ratio, or of a difference (JCGM 100:2008, F.1.2.3): it cancels. */
export function withoutSources(parts: readonly UncertaintyPart[], ...cancelling: readonly UncertaintySource[]): UncertaintyPart[] {
  return parts.filter(({ source }) => !cancelling.includes(source));
}

/** A figure's half-width, by its bounds, without the parts of the sources named: what is left when they cancel. */
export function halfWidthWithout(halfWidth: number, parts: readonly UncertaintyPart[] | undefined, ...cancelling: readonly UncertaintySource[]): number {
  if (parts === undefined) return halfWidth;
  const gone = NORMAL_95 * combinedOf(parts.filter(({ source }) => cancelling.includes(source)));
  return Math.sqrt(Math.max(0, halfWidth ** 2 - gone ** 2));
}
