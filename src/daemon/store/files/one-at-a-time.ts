/** What was begun last for each file. */
const last = new Map<string, Promise<void>>();

/**
 * Changes of one file, one after the other in this process: each reads what the one before it has written, so that two quick taps, or two pages, do not undo each other.
 * One that fails leaves the next its turn.
 */
export async function oneAtATime<T>(path: string, change: () => Promise<T>): Promise<T> {
  const done = (last.get(path) ?? Promise.resolve()).then(change);
  const over = done.then(() => undefined, () => undefined);
  last.set(path, over);
  try {
    return await done;
  } finally {
    if (last.get(path) === over) last.delete(path);
  }
}
