import { MOMENTS, POINTS, type Moment, type Point } from './types.ts';

/** How a point may also be written; spaces, dashes and underscores count alike. */
const SPELLINGS: ReadonlyMap<string, Point> = new Map(Object.entries<Point>({
  'battery-plus': 'battery', 'battery-post': 'battery', 'battery-positive': 'battery', 'battery+': 'battery', batt: 'battery',
  'fuse-input': 'fuse-in', 'fuse-feed': 'fuse-in', 'fuse-output': 'fuse-out', 'fuse-load': 'fuse-out',
  'switch-input': 'switch-in', 'switch-output': 'switch-out', 'relay-in': 'switch-in', 'relay-out': 'switch-out',
  'module-input': 'module-in', 'module-output': 'module-out',
  'motor+': 'motor-plus', 'motor-+': 'motor-plus', 'motor-positive': 'motor-plus', motorplus: 'motor-plus', motor: 'motor-plus',
  'motor-': 'motor-minus', 'motor--': 'motor-minus', 'motor-negative': 'motor-minus', motorminus: 'motor-minus', 'motor-ground': 'motor-minus',
  'ground-point': 'ground', earth: 'ground', 'earth-point': 'ground', chassis: 'ground', body: 'ground',
}));

/** The point a word names; null for a word that names none. */
export function pointOf(word: string): Point | null {
  const plain = word.trim().toLowerCase().replaceAll('\u2212', '-').replaceAll('(+)', '+').replaceAll('(-)', '-').replace(/[\s_]+/g, '-');
  return POINTS.find((point) => point === plain) ?? SPELLINGS.get(plain) ?? null;
}

export function momentOf(word: string): Moment | null {
  const plain = word.trim().toLowerCase();
  return MOMENTS.find((moment) => moment === plain) ?? null;
}
