import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { launchBrowser, removeFolders, type RunningDaemon } from './browser.ts';

/** One browser for the tests around the call; it and the folders they made go with them. */
export function withBrowser(): { readonly browser: Browser } {
  let browser: Browser | null = null;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    removeFolders();
  });
  return {
    get browser() {
      return started(browser);
    },
  };
}

/** The same with one daemon for all of them. */
export function withDaemon(start: () => Promise<RunningDaemon>): { readonly browser: Browser; readonly daemon: RunningDaemon } {
  let daemon: RunningDaemon | null = null;
  // before the folders go: what is asked for last is ended first
  const on = withBrowser();
  beforeAll(async () => {
    daemon = await start();
  });
  afterAll(async () => {
    await daemon?.close();
  });
  return {
    get browser() {
      return on.browser;
    },
    get daemon() {
      return started(daemon);
    },
  };
}

function started<T>(what: T | null): T {
  if (what === null) throw new Error('asked for before the tests began');
  return what;
}
