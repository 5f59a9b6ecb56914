import { vi } from 'vitest';

/** The daemon at the other end of the page's requests, as a test lets it answer; what it throws is its refusal. Nothing of the page itself is replaced: files that share a process share its modules. `vi.unstubAllGlobals` ends it. */
export function daemonAnswers(answer: (method: string, path: string) => unknown): void {
  vi.stubGlobal('sessionStorage', { getItem: () => 'key' });
  vi.stubGlobal('fetch', async (path: string, { method }: RequestInit) => {
    try {
      return Response.json(await answer(method!, path));
    } catch (why) {
      return Response.json({ error: { code: 'refused', text: (why as Error).message } }, { status: 500 });
    }
  });
}
