import { existsSync, readdirSync, readFileSync, statfsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { startDaemon } from '../../src/daemon/serve.ts';
import { goTo, launchBrowser, newFolder, openPage, removeFolders } from '../browser/browser.ts';
import { capture, recording } from './long-capture.ts';
import { Paced } from './paced-source.ts';
import { judged, quantile, type BenchRow } from './row.ts';

const PAGES = fileURLToPath(new URL('../../dist/web/', import.meta.url));
const RATE_HZ = 10_000;
const SCRIPT_BUDGET_KB = 150;
const FIRST_CHART_BUDGET_MS = 1000;
/** One frame at 60 Hz with the clock's step, and two of them. */
const FRAME_MS = 16.8;
const TWO_FRAMES_MS = 33.4;
/** A key held down repeats about so often (usual setting of desktops: 25 to 30 a second). */
const PAN_EVERY_MS = 40;

/** The pages in a real Chromium: smooth while readings stream and while a long trace is moved, soon there, and small. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  if (!existsSync(join(PAGES, 'index.html'))) throw new Error('the bench of the pages needs them built: npm run build');
  const dataDir = newFolder();
  const samples = quick ? 5_000_000 : 259_200_000;
  const { bavail, bsize } = statfsSync(tmpdir());
  if (bavail * bsize < samples * 18) throw new Error(`the bench of the pages needs ${(samples * 18) / 1e9} GB below ${tmpdir()}`);
  const path = join(dataDir, 'jobs', 'unfiled', 'long');
  await capture(path, recording(samples));
  const daemon = await startDaemon({ source: 'hand:1', port: 0, dataDir, webDir: PAGES, log: () => undefined, openSource: () => new Paced(RATE_HZ) });
  const browser = await launchBrowser();
  try {
    const seconds = quick ? 6 : 20;
    return [...(await streaming(browser, daemon.url, seconds)), await panning(browser, daemon.url, samples, seconds), await firstChart(browser, daemon.url, quick ? 4 : 10), script()];
  } finally {
    await browser.close();
    await daemon.close();
    removeFolders();
  }
}

async function streaming(browser: Browser, url: string, seconds: number): Promise<BenchRow[]> {
  const { page, context } = await openPage(browser, url);
  await drawn(page);
  // the first seconds compile
  await frames(page, 2, null);
  const intervals = await frames(page, seconds, null);
  await context.close();
  return [judged({ name: `frame interval while ${RATE_HZ / 1000} kS/s stream, p99 (median ${quantile(intervals, 0.5).toFixed(1)} ms)`, value: quantile(intervals, 0.99), unit: 'ms', anchor: 'a screen of 60 Hz' }, '<=', FRAME_MS)];
}

async function panning(browser: Browser, url: string, samples: number, seconds: number): Promise<BenchRow> {
  const { page, context } = await openPage(browser, url);
  await goTo(page, 'trace/unfiled/long');
  await drawn(page);
  // close enough that there is somewhere to go, far enough that the samples could not all be sent
  for (let k = 0; k < 6; k++) await page.locator('.chart-host').press('+');
  await frames(page, 2, PAN_EVERY_MS);
  const intervals = await frames(page, seconds, PAN_EVERY_MS);
  await context.close();
  return judged({ name: `frame interval while ${Math.round(samples / 1e6)} M samples are panned, p99 (median ${quantile(intervals, 0.5).toFixed(1)} ms)`, value: quantile(intervals, 0.99), unit: 'ms', anchor: 'a screen of 60 Hz' }, '<=', TWO_FRAMES_MS);
}

/** From the address to a chart with readings on it, best of some visits with nothing kept from the one before. */
async function firstChart(browser: Browser, url: string, visits: number): Promise<BenchRow> {
  let bestMs = Infinity;
  for (let k = 0; k < visits; k++) {
    const { page, context } = await openPage(browser, url);
    bestMs = Math.min(bestMs, await drawn(page));
    await context.close();
  }
  return judged({ name: `first chart on a page just opened (${bestMs.toFixed(0)} ms)`, value: bestMs / FIRST_CHART_BUDGET_MS, unit: 'of its budget', anchor: `${FIRST_CHART_BUDGET_MS} ms` }, '<=', 1);
}

/** What a browser has to load before the first chart: the script of the page with all that it imports at once; screens that are opened later bring theirs. */
function script(): BenchRow {
  const folder = join(PAGES, 'assets');
  const sizes = new Map(readdirSync(folder).filter((name) => name.endsWith('.js')).map((name) => [name, gzipSync(readFileSync(join(folder, name))).length]));
  const [first] = /assets\/[^"]+\.js/.exec(readFileSync(join(PAGES, 'index.html'), 'utf8')) ?? [''];
  const needed = new Set<string>();
  const add = (name: string): void => {
    if (needed.has(name)) return;
    needed.add(name);
    for (const [, imported] of readFileSync(join(folder, name), 'utf8').matchAll(/(?:from|import)\s*["']\.\/([^"']+\.js)["']/g)) add(imported!);
  };
  add(first.slice('assets/'.length));
  const kBOf = (names: Iterable<string>): number => [...names].reduce((sum, name) => sum + sizes.get(name)!, 0) / 1000;
  const kB = kBOf(needed);
  return judged({ name: `script that the first chart needs, gzip (${kB.toFixed(0)} kB; ${kBOf(sizes.keys()).toFixed(0)} kB with every screen)`, value: kB / SCRIPT_BUDGET_KB, unit: 'of its budget', anchor: `${SCRIPT_BUDGET_KB} kB` }, '<=', 1);
}

/** Waits until the chart shows a stretch of time; returns the page's own time since it was asked for, ms. */
async function drawn(page: Page): Promise<number> {
  const handle = await page.waitForFunction(() => {
    const host = document.querySelector<HTMLElement>('.chart-host');
    return host !== null && host.querySelector('canvas') !== null && Number(host.dataset['to']) > Number(host.dataset['from']) ? performance.now() : false;
  }, undefined, { polling: 'raf', timeout: 60_000 });
  return (await handle.jsonValue()) as number;
}

/** Intervals between frames for some seconds, ms; `panMs`: the chart is moved on by a key so often, there and back. */
async function frames(page: Page, seconds: number, panMs: number | null): Promise<number[]> {
  // the loader that runs TypeScript wraps named functions in a helper of its own, which a page has not
  await page.evaluate('globalThis.__name = (made) => made');
  return page.evaluate(
    ([lengthMs, everyMs]) => new Promise<number[]>((done) => {
      const host = document.querySelector<HTMLElement>('.chart-host')!;
      host.focus();
      const intervals: number[] = [];
      const startMs = performance.now();
      let lastMs = Number.NaN;
      let pannedMs = startMs;
      const next = (nowMs: number): void => {
        if (!Number.isNaN(lastMs)) intervals.push(nowMs - lastMs);
        lastMs = nowMs;
        if (everyMs !== null && nowMs - pannedMs >= everyMs) {
          pannedMs = nowMs;
          const key = Math.floor((nowMs - startMs) / 1000) % 2 === 0 ? 'ArrowRight' : 'ArrowLeft';
          host.dispatchEvent(new KeyboardEvent('keydown', { key, shiftKey: true, bubbles: true, cancelable: true }));
        }
        if (nowMs - startMs < lengthMs) requestAnimationFrame(next);
        else done(intervals);
      };
      requestAnimationFrame(next);
    }),
    [seconds * 1000, panMs] as const,
  );
}
