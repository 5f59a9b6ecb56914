/** What a key lets its holder do: look at everything, or look and change. */
export type Access = 'view' | 'operate';

/** What a route or a message of a page asks of its sender. Everything declares one of these; what declares none is never let in. */
export type Needs = 'nothing' | Access;

const RANK: Readonly<Record<Needs, number>> = { nothing: 0, view: 1, operate: 2 };

export function isNeeds(value: unknown): value is Needs {
  return typeof value === 'string' && Object.hasOwn(RANK, value);
}

/** Whether a key of this access (null = no key) is enough. An undeclared need is met by nobody. */
export function suffices(access: Access | null, needs: Needs): boolean {
  return isNeeds(needs) && RANK[access ?? 'nothing'] >= RANK[needs];
}
