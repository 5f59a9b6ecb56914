/** Where two people have changed the same thing in two ways. */
export interface Clash {
  /** names on the way to it: `['note']`, `['signs', 'hums']` */
  readonly path: readonly string[];
  readonly theirs: unknown;
  readonly mine: unknown;
}

interface Merged<T> {
  /** `now` with my changes in it; theirs where the two clash */
  readonly merged: T;
  readonly clashes: readonly Clash[];
}

/**
 * Puts my changes, made to `was`, into what is kept `now`, which somebody else may have changed meanwhile: what only one of us has changed is taken from that one, in lists
 * what either has added or taken out. What both have changed in two ways is reported and never chosen. Only the fields of `mine` are looked at. JSON values only.
 */
export function mergeFields<T extends object>(was: Partial<T>, mine: Partial<T>, now: T): Merged<T> {
  const clashes: Clash[] = [];
  const merged = mergeObject(was as Fields, mine as Fields, now as Fields, [], clashes);
  return { merged: { ...now, ...merged } as T, clashes };
}

/** `fields` with the value at the path replaced. */
export function withValue<T extends object>(fields: T, [name, ...rest]: readonly string[], value: unknown): T {
  if (name === undefined) return fields;
  const inner = (fields as Fields)[name];
  const next = rest.length === 0 ? value : withValue(isFields(inner) ? inner : {}, rest, value);
  const { [name]: _before, ...others } = fields as Fields;
  return (next === undefined ? others : { ...fields, [name]: next }) as T;
}

type Fields = Readonly<Record<string, unknown>>;

function mergeObject(was: Fields, mine: Fields, now: Fields, path: readonly string[], clashes: Clash[]): Fields {
  const merged: Record<string, unknown> = {};
  // at the top only what is sent has a say; below, a name that is missing has been taken out
  const names = path.length === 0 ? Object.keys(mine) : [...new Set([...Object.keys(was), ...Object.keys(mine), ...Object.keys(now)])];
  for (const name of names) {
    const value = mergeValue(was[name], mine[name], now[name], [...path, name], clashes);
    if (value !== undefined) merged[name] = value;
  }
  return merged;
}

function mergeValue(was: unknown, mine: unknown, now: unknown, path: readonly string[], clashes: Clash[]): unknown {
  if (same(mine, was) || same(mine, now)) return now;
  if (same(now, was)) return mine;
  if (isFields(mine) && isFields(now)) return mergeObject(isFields(was) ? was : {}, mine, now, path, clashes);
  if (Array.isArray(mine) && Array.isArray(now)) return mergeList(Array.isArray(was) ? was : [], mine, now);
  // two people have answered the same: the later time is right, whichever answer stays
  if (path[0] === 'answered' && typeof mine === 'string' && typeof now === 'string') return mine > now ? mine : now;
  clashes.push({ path, theirs: now, mine });
  return now;
}

function mergeList(was: readonly unknown[], mine: readonly unknown[], now: readonly unknown[]): unknown[] {
  const has = (list: readonly unknown[], value: unknown): boolean => list.some((one) => same(one, value));
  return [...now.filter((one) => has(mine, one) || !has(was, one)), ...mine.filter((one) => !has(was, one) && !has(now, one))];
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function same(one: unknown, other: unknown): boolean {
  if (one === other) return true;
  if (Array.isArray(one) && Array.isArray(other)) return one.length === other.length && one.every((value, i) => same(value, other[i]));
  if (!isFields(one) || !isFields(other)) return false;
  const names = Object.keys(one);
  return names.length === Object.keys(other).length && names.every((name) => Object.hasOwn(other, name) && same(one[name], other[name]));
}
