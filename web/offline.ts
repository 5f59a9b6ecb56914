/**
 * The page without the program behind it: a service worker that keeps the shell (the page, its script, its style) and hands it out when the
 * computer does not answer. Readings and recordings are never kept: the API and the live link go past it untouched. Browsers run it only
 * on the computer itself or at an encrypted address.
 */
const SHELL = 'amptrail-shell';
const PAGE = '/';
const OWN_FILES = ['/manifest.webmanifest', '/icon-192.png', '/icon-512.png'];

/** The part of a service worker's events that is used here (the types of the page's own scope leave them out). */
interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Asked extends Lasting {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}

/** Keeps the page and what it names; lets go of files of an older build. */
async function keepShell(page: Response): Promise<void> {
  const cache = await caches.open(SHELL);
  const text = await page.clone().text();
  const files = [...text.matchAll(/(?:src|href)="\.?(\/[\w./-]+)"/g)].map((match) => match[1]!);
  const wanted = new Set([PAGE, ...OWN_FILES, ...files]);
  await cache.put(PAGE, page);
  const kept = (await cache.keys()).map(({ url }) => new URL(url).pathname);
  await Promise.all(kept.filter((path) => !wanted.has(path)).map((path) => cache.delete(path)));
  await cache.addAll([...wanted].filter((path) => path !== PAGE && !kept.includes(path)));
}

async function page(request: Request, event: Lasting): Promise<Response> {
  try {
    const answer = await fetch(request);
    if (answer.ok) event.waitUntil(keepShell(answer.clone()));
    return answer;
  } catch (error) {
    const kept = await caches.match(PAGE);
    if (kept === undefined) throw error;
    return kept;
  }
}

addEventListener('install', (event) => {
  (event as Lasting).waitUntil(fetch(PAGE).then(keepShell));
});

addEventListener('fetch', (event) => {
  const asked = event as Asked;
  const { request } = asked;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== location.origin || pathname.startsWith('/api/')) return;
  if (request.mode === 'navigate') asked.respondWith(page(request, asked));
  else asked.respondWith(caches.match(pathname).then((kept) => kept ?? fetch(request)));
});
