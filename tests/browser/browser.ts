import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import axe from 'axe-core';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import lockfile from 'proper-lockfile';
import { onTestFinished } from 'vitest';

/**
 * A real Chromium from npm and a real daemon, as built: what a person gets. One browser for the whole file; each test its own page and
 * its own data folder.
 */
const ARGUMENTS = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update',
  '--disable-sync', '--force-color-profile=srgb',
];

export type RunningDaemon = Awaited<ReturnType<typeof import('../../src/daemon/serve.ts').startDaemon>>;

export async function launchBrowser(more: readonly string[] = []): Promise<Browser> {
  // tells the package to unpack the libraries and fonts that its Chromium needs, read when it is loaded
  process.env['AWS_LAMBDA_JS_RUNTIME'] = 'nodejs20.x';
  const { default: packed } = await import('@sparticuz/chromium');
  const { chromium } = await import('playwright-core');
  return chromium.launch({ executablePath: await unpackedOnce(() => packed.executablePath()), args: [...ARGUMENTS, ...more], headless: true });
}

/** The package unpacks its browser once a machine and takes a file that is there for a whole one: where two workers begin at the same time, one waits for the other. */
async function unpackedOnce<T>(unpack: () => Promise<T>): Promise<T> {
  const release = await lockfile.lock(tmpdir(), { lockfilePath: join(tmpdir(), 'amptrail-browser-unpacking.lock'), stale: 60_000, retries: { forever: true, minTimeout: 50, maxTimeout: 500 } });
  try {
    return await unpack();
  } finally {
    await release();
  }
}

/**
 * A vehicle that hardly moves on, for pages on which nothing live is looked at: ten readings a second, where a thousand keep a third of a core busy in
 * the daemon and in the page that hears them.
 */
export const QUIET = 'sim:side-step-healthy?speed=0.01';

/** The built daemon on a free port with an empty data folder. */
export async function startBuilt(source: string, options: { dataDir?: string; port?: number; lan?: boolean } = {}): Promise<RunningDaemon> {
  const built = new URL('../../dist/daemon/serve.js', import.meta.url).href;
  const { startDaemon } = (await import(built)) as typeof import('../../src/daemon/serve.ts');
  return startDaemon({ source, dataDir: options.dataDir ?? newFolder(), port: options.port ?? 0, lan: options.lan === true, log: () => {} });
}

const folders: string[] = [];

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-browser-'));
  folders.push(folder);
  return folder;
}

export function removeFolders(): void {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
}

export interface Visit {
  readonly page: Page;
  readonly context: BrowserContext;
  /** what the page threw, or the browser refused to do for it (a broken content policy is such an error), and every request to another machine */
  readonly faults: string[];
}

/** What a page is told of its reader, and whether its shell is kept, which costs each new page a third of a second of work. */
type Reader = Pick<BrowserContextOptions, 'locale' | 'timezoneId' | 'serviceWorkers'>;

export function visit(browser: Browser, url: string, size = { width: 1280, height: 800 }, reader: Reader = { locale: 'en-GB' }): Promise<Visit> {
  return openPage(browser, url, size, { serviceWorkers: 'block', ...reader }, async (context) => {
    onTestFinished(async ({ task }) => {
      if (task.result?.state === 'fail') for (const page of context.pages()) console.error(await lastSeen(page));
      // a test that fails before it closes its page must not leave the controls with it
      await context.close();
    });
    await context.addInitScript(drawSeldom, DRAWING_MS);
  });
}

/** Where a page is and what stands on it: what a test that waited in vain would have seen. */
async function lastSeen(page: Page): Promise<string> {
  const text = await page.locator('body').innerText({ timeout: 2000 }).catch((error: unknown) => String(error));
  return `${page.url().replace(/^[^#]*/, '')}\n${text}`;
}

/** The same without a test around it, drawn as often as for anybody: for the bench. */
export async function openPage(browser: Browser, url: string, size = { width: 1280, height: 800 }, reader: Reader = { locale: 'en-GB' }, prepare: (context: BrowserContext) => Promise<void> = async () => undefined): Promise<Visit> {
  const context = await browser.newContext({ ...reader, viewport: size, acceptDownloads: true, reducedMotion: 'reduce' });
  await prepare(context);
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().includes('WebSocket connection')) faults.push(`${message.text()} ${message.location().url}`);
  });
  // whatever a test looks at: nothing of a workshop may go elsewhere
  const here = new URL(url).hostname;
  context.on('request', (request) => {
    const { protocol, hostname } = new URL(request.url());
    if (/^https?:$/.test(protocol) && hostname !== here) faults.push(`a request left the machine: ${request.url()}`);
  });
  await page.goto(url);
  return { page, context, faults };
}

/** Between two drawings of the page. A live chart without a graphics card, drawn thirty times a second, takes half of a core from what is tested; a slow tablet draws as seldom. */
const DRAWING_MS = 100;

/** In the page, before its own scripts: animation frames come no faster than every `apartMs`. */
function drawSeldom(apartMs: number): void {
  const [request, cancel] = [window.requestAnimationFrame.bind(window), window.cancelAnimationFrame.bind(window)];
  const requested = new Map<number, number>();
  let nextMs = 0;
  window.requestAnimationFrame = (draw) => {
    const id = window.setTimeout(() => {
      const frame = request((nowMs) => {
        requested.delete(id);
        nextMs = performance.now() + apartMs;
        draw(nowMs);
      });
      requested.set(id, frame);
    }, nextMs - performance.now());
    return id;
  };
  window.cancelAnimationFrame = (id) => {
    window.clearTimeout(id);
    cancel(requested.get(id) ?? 0);
    requested.delete(id);
  };
}

/** Violations of WCAG 2.2 A and AA that axe finds, one line each; with `rules`, of these alone. */
export async function axeFaults(page: Page, rules: readonly string[] | null = null): Promise<string[]> {
  // the page's own content policy refuses injected scripts; the debugger's evaluate is not bound by it
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe.source);
  const found = await page.evaluate(async (only) => {
    const runner = (window as unknown as { axe: typeof axe }).axe;
    // what is scrolled half under the head of the page is no low target
    const scrolledPx = scrollY;
    scrollTo(0, 0);
    const { violations } = await runner.run(document, {
      runOnly: only === null ? { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] } : { type: 'rule', values: [...only] },
      // nothing of ours comes from another origin, and what is clean need not be listed
      preload: false, resultTypes: ['violations'],
    });
    scrollTo(0, scrolledPx);
    return violations.map((one) => `${one.id}: ${one.nodes.slice(0, 3).map((node) => `${node.target.join(' ')} ${node.failureSummary?.split('\n')[1]?.trim() ?? ''}`).join(' | ')}`);
  }, rules);
  return found;
}

/** Goes to a screen by its address and waits until it is there. */
export async function goTo(page: Page, screen: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = `#/${to}`;
  }, screen);
  await page.waitForFunction((to) => location.hash === `#/${to}`, screen);
  await twoFrames(page);
}

/** By the second frame from now the page is laid out anew; what a script sizes, such as the chart, has followed by then. */
function twoFrames(page: Page): Promise<unknown> {
  return page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

interface Size {
  readonly width: number;
  readonly height: number;
}

/** The sizes at which pages are looked at: a screen on the bench, a tablet and a phone, both held upright. */
export const SIZES: readonly Size[] = [{ width: 1280, height: 800 }, { width: 820, height: 1180 }, { width: 390, height: 844 }];

/** Gives the window another size and waits until the page has followed. */
export async function resize(page: Page, size: Size): Promise<void> {
  await page.setViewportSize(size);
  await twoFrames(page);
}

/** CSS pixels by which the page is wider than the window. */
export function overflow(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

export const THEMES = ['light', 'dark'] as const;

/** Changes the page to light or dark by its own button, where it is not so already. */
export async function changeTo(page: Page, theme: (typeof THEMES)[number]): Promise<void> {
  if ((await page.evaluate(() => document.documentElement.dataset['theme'])) !== theme) await page.getByRole('button', { name: `Change to ${theme}` }).click();
}

/** What axe finds in the page as it is, in light and in dark, one line each. */
export async function themeFaults(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const theme of THEMES) {
    await changeTo(page, theme);
    for (const fault of await axeFaults(page)) found.push(`${theme}: ${fault}`);
  }
  return found;
}

/** Where the page is wider than the window at any of these sizes, and what `more` finds there; it is left at the last one. */
export async function sizeFaults(page: Page, sizes: readonly Size[], more: () => Promise<readonly string[]> = async () => []): Promise<string[]> {
  const found: string[] = [];
  for (const size of sizes) {
    await resize(page, size);
    const wider = await overflow(page);
    if (wider > 0) found.push(`${size.width} px: ${wider} px too wide`);
    found.push(...(await more()).map((fault) => `${size.width} px: ${fault}`));
  }
  return found;
}

/** Where the page is too wide at any of these sizes, and what axe finds in the light at the largest and in the dark at the smallest; it is left at the largest. */
export async function sizeAndThemeFaults(page: Page): Promise<string[]> {
  const found = await sizeFaults(page, SIZES, async () => {
    const { width } = page.viewportSize()!;
    const theme = width === SIZES[0]!.width ? 'light' : width === SIZES.at(-1)!.width ? 'dark' : null;
    if (theme === null) return [];
    await changeTo(page, theme);
    return (await axeFaults(page)).map((fault) => `${theme}: ${fault}`);
  });
  await resize(page, SIZES[0]!);
  return found;
}

/** Records until something is on the page, and waits for the recording to be kept. */
export async function recordUntil(page: Page, shown: string): Promise<void> {
  await page.getByRole('button', { name: 'Record', exact: true }).click();
  await page.locator(shown).first().waitFor();
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('link', { name: 'Open the recording' }).waitFor();
}
