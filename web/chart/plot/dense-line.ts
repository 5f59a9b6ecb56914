/** A line of this much, device pixels, is drawn by every canvas in one go; a thicker one is turned into an outline first, which for thousands of points on a few hundred columns takes longer than all the rest of a frame. */
const HAIR_PX = 1;

/** How far the hair lines lie from the middle that together are a line of `widthPx`: no further apart than each is wide, and out to its edges. */
export function hairOffsetsPx(widthPx: number): number[] {
  const count = Math.max(1, Math.ceil(widthPx / HAIR_PX));
  if (count === 1) return [0];
  const reachPx = (widthPx - HAIR_PX) / 2;
  return Array.from({ length: count }, (_, k) => -reachPx + (k * 2 * reachPx) / (count - 1));
}

/** The same line as hair lines side by side, to be drawn one device pixel wide: 20 to 50 times as fast. They lie along the diagonal, so that level and upright stretches get their width alike. */
export function asHairLines(path: Path2D, widthPx: number): Path2D {
  const hair = new Path2D();
  for (const offsetPx of hairOffsetsPx(widthPx)) hair.addPath(path, { e: offsetPx, f: offsetPx });
  return hair;
}

/** More points than device columns: at that the corners of the outline are no longer seen, and cost most. */
export function isDense(points: number, columns: number): boolean {
  return points > columns;
}
