import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { JOB, writeJob, writeTrace } from '../daemon/prove-stand.ts';
import { axeFaults, changeTo, goTo, newFolder, overflow, recordUntil, resize, SIZES, startBuilt, THEMES, visit, type RunningDaemon } from './browser.ts';
import { withDaemon } from './with-browser.ts';
import { writeJson } from '../../src/daemon/store/files/record-file.ts';
import { mkdir } from 'node:fs/promises';
import { JOB_SCHEMA } from '../../src/core/tracefile/record.ts';

const BEFORE = '2026-11-25T07-05-00Z-before';
const NIGHT = '2026-11-24T10-05-00Z-pulls';
const OTHER_JOB = '20261126-070000-library-bus';

/** The widest size that is worked with fingers. */
const TOUCH_PX = 820;
/** What a finger hits: WCAG 2.2 asks 24 (2.5.8), and 44 in its stricter form (2.5.5), which is the one kept here. */
const TARGET_PX = 44;
/** Rules of axe that colours and places decide: what is built is the same in both themes, and at the middle size as at the wide or the narrow one. */
const BY_LOOK = ['color-contrast', 'link-in-text-block', 'target-size', 'scrollable-region-focusable'];

/** A daemon with a job in which something is written in every part, a pair of traces around its repair, and a night with pulled fuses. */
async function filled(): Promise<RunningDaemon> {
  const dataDir = newFolder();
  await writeJob(dataDir);
  await mkdir(join(dataDir, 'jobs', OTHER_JOB), { recursive: true });
  await writeJson(join(dataDir, 'jobs', OTHER_JOB, 'job.json'), {
    schema: JOB_SCHEMA, id: OTHER_JOB, created: '2026-11-26T07:00:00.000Z', depot: 'Lower Meadow community transport', vehicle: 'Library bus', complaint: 'Flat every Monday', circuit: '', fuse_rating_a: null, technician: '', note: '',
  });
  await writeTrace(dataDir, BEFORE, 'side-step-jam', { title: 'Before the repair' });
  await writeTrace(dataDir, '2026-11-25T09-05-00Z-after', 'side-step-healthy', { title: 'After the repair', start: '2026-11-25T09:05:00.000Z' });
  await writeTrace(dataDir, NIGHT, 'flatbed-fuse-pulls', { title: 'Fuses pulled' });
  const daemon = await startBuilt('sim:side-step-jam', { dataDir });
  const ask = async (method: string, path: string, body: object): Promise<void> => {
    const answer = await fetch(`http://127.0.0.1:${daemon.port}/api/${path}`, { method, headers: { Authorization: `Bearer ${daemon.token}`, Origin: `http://127.0.0.1:${daemon.port}`, 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
    expect(answer.status, path).toBe(200);
  };
  await ask('PUT', `jobs/${JOB}/evidence`, {
    signs: { 'moves-a-little': 'yes', 'one-way-only': 'no', 'moves-by-hand': 'no' }, sign_words: { 'moves-a-little': 'every morning' },
    readings: [{ point: 'battery', v: 12.6, while: 'pressed' }, { point: 'fuse-out', v: 12.4, while: 'pressed' }, { point: 'motor-plus', v: 9.8, while: 'pressed' }, { point: 'motor-minus', v: 0.1, while: 'pressed' }],
    fuse_survey: { battery_a: 0.42, fuses: [{ label: 'F7', type: 'ato', rating_a: 10, mv: 3.1, ohm: null }, { label: 'F12', type: 'ato', rating_a: 15, mv: 0.1, ohm: null }] },
    repair: { at: '2026-11-25T09:00:00Z', cause: 'mechanism', work: 'Slides cleaned and greased', part: 'guide 4711' },
  });
  await ask('POST', `jobs/${JOB}/notes`, { text: 'Customer says it was worse in the cold' });
  return daemon;
}

/** Every view there is, and what brings it about. A part that is closed at first is opened: what can be seen is looked at. */
const VIEWS: readonly { readonly name: string; readonly open: (page: Page) => Promise<void> }[] = [
  { name: 'test, live', open: async (page) => {
    await goTo(page, 'test');
    await page.locator('[data-finding="stalled"]').waitFor();
    await openAll(page, '.arm, .card details');
  } },
  { name: 'test, recorded', open: async (page) => {
    await recordUntil(page, '.segment');
    // what goes on moving is not looked at while it moves
    await page.getByRole('button', { name: 'Pause' }).click();
  } },
  { name: 'read', open: (page) => goTo(page, 'read') },
  { name: 'jobs', open: (page) => goTo(page, 'job') },
  ...['volts', 'reversal', 'fuses', 'repair', 'story'].map((part) => ({ name: `job, ${part}`, open: async (page: Page) => {
    await goTo(page, `job/${JOB}/${part}`);
    await page.locator('.parts a[aria-current="page"]').waitFor();
  } })),
  { name: 'job', open: async (page) => {
    await goTo(page, `job/${JOB}`);
    await page.locator('.left[aria-busy="false"]').waitFor();
  } },
  { name: 'set-up of a motor test', open: async (page) => {
    await goTo(page, 'setup');
    await page.getByLabel('Motor or mechanism').check();
    await openAll(page, 'details');
  } },
  { name: 'calibration', open: (page) => goTo(page, 'calibrate') },
  { name: 'traces', open: (page) => goTo(page, 'traces') },
  { name: 'import', open: async (page) => {
    await page.getByLabel('File to import').setInputFiles({ name: 'meter.csv', mimeType: 'text/csv', buffer: Buffer.from('Zeit;Kanal 1;Kanal 2\n0;0,5;12,6\n1;0,7;12,6\n') });
    await page.getByRole('form', { name: 'How to read the file' }).waitFor();
  } },
  { name: 'trace of a motor', open: async (page) => {
    await goTo(page, `trace/${JOB}/${BEFORE}`);
    await page.locator('[data-finding]').first().waitFor();
    await openAll(page, '.card details');
  } },
  { name: 'trace of a night', open: async (page) => {
    await goTo(page, `trace/${JOB}/${NIGHT}`);
    await page.getByRole('region', { name: 'Table of pulled fuses' }).waitFor();
    await page.getByText('Export', { exact: true }).click();
  } },
  { name: 'before and after', open: async (page) => {
    await goTo(page, 'compare');
    await page.locator('.compared .overlay-plot').first().waitFor();
  } },
  { name: 'side by side', open: async (page) => {
    await goTo(page, 'compare/many');
    await page.locator('[data-finding], .checks-list').first().waitFor();
  } },
  { name: 'known-good', open: (page) => goTo(page, 'compare/known-good') },
  { name: 'page for the customer', open: async (page) => {
    await goTo(page, 'prove');
    await page.locator('.report-sheet').getByRole('heading', { level: 1 }).waitFor();
    await openAll(page, 'details');
  } },
  { name: 'page for the file', open: async (page) => {
    await page.getByText('For the file').click();
    await page.locator('.report-sheet').getByText('Not tested').waitFor();
  } },
  { name: 'tablets', open: (page) => goTo(page, 'tablets') },
  { name: 'set-up of a key-off test', open: async (page) => {
    await goTo(page, 'setup');
    await page.getByLabel('Key-off drain').check();
    await openAll(page, 'details');
  } },
  { name: 'night watch', open: async (page) => {
    await goTo(page, 'test');
    await page.getByRole('region', { name: 'Night watch' }).waitFor();
  } },
  { name: 'figures for three metres', open: async (page) => {
    await page.getByRole('button', { name: 'Large' }).click();
    await page.locator('dialog.wide[open]').waitFor();
  } },
];

describe('every view', () => {
  const on = withDaemon(filled);

  it('is clean to axe in both themes at three sizes, fits them and text of twice the size, has targets for fingers and a frame round what is chosen in the colours of the system', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    page.setDefaultTimeout(60_000);
    const found: string[] = [];
    for (const [index, { name, open }] of VIEWS.entries()) {
      await open(page);
      // down and up again by turns: each view begins at the size at which the one before it ended
      for (const size of index % 2 === 0 ? SIZES : SIZES.toReversed()) {
        await resize(page, size);
        found.push(...(await sizeFaultsOf(page, size)).map((fault) => `${name}, ${size.width} px: ${fault}`));
      }
      await page.emulateMedia({ forcedColors: 'active' });
      found.push(...(await chosenWithoutFrame(page)).map((one) => `${name}, colours of the system: no frame round ${one}`));
      await page.emulateMedia({ forcedColors: 'none' });
    }
    expect(found).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  }, 600_000);

  it('shows the vehicle of its own job, also where it follows straight on that of another', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    for (const [job, vehicle] of [[JOB, 'Minibus 4'], [OTHER_JOB, 'Library bus']] as const) {
      await goTo(page, `job/${job}`);
      await page.getByRole('heading', { level: 1, name: vehicle }).waitFor();
      expect(await page.getByRole('form', { name: 'Job' }).getByLabel('Vehicle').inputValue()).toBe(vehicle);
    }
    await context.close();
  });
});

function openAll(page: Page, selector: string): Promise<void> {
  return page.locator(selector).evaluateAll((all) => all.forEach((one) => one.tagName === 'DETAILS' && one.setAttribute('open', '')));
}

/** The button of the page may lie under a dialog that fills the screen; the page follows what the button sets. */
async function setTheme(page: Page, theme: (typeof THEMES)[number]): Promise<void> {
  if ((await page.locator('dialog[open]').count()) === 0) await changeTo(page, theme);
  else await page.evaluate((to) => (document.documentElement.dataset['theme'] = to), theme);
}

/** Controls that are lower than a finger needs. A link within a sentence is as high as its line (the exception in WCAG 2.5.8); a box or a dot is hit by its label. */
function lowTargets(page: Page): Promise<string[]> {
  return page.evaluate((leastPx) => {
    const low: string[] = [];
    for (const one of document.querySelectorAll<HTMLElement>('a[href], button, input, select, textarea, summary, [role="button"], [role="slider"]')) {
      if (!one.checkVisibility({ visibilityProperty: true }) || getComputedStyle(one).display === 'inline') continue;
      const target = (one.matches('[type="checkbox"], [type="radio"]') ? one.closest('label') : null) ?? one;
      const box = target.getBoundingClientRect();
      // out of sight until the keyboard comes to it, or worked by the button beside it
      if (box.width <= 1 || box.right < 0 || one.matches('.unseen, .skip')) continue;
      if (box.height < leastPx - 0.5) low.push(`${one.tagName.toLowerCase()}.${one.className} "${(one.textContent || one.getAttribute('aria-label') || '').slice(0, 30)}" is ${box.height.toFixed(0)} px high`);
    }
    return [...new Set(low)];
  }, TARGET_PX);
}

/** What is chosen or the place one is at, told by its background alone: that is gone where the system sets the colours. */
function chosenWithoutFrame(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('[aria-pressed="true"], [aria-current]:not([aria-current="false"])')]
      .filter((one) => one.checkVisibility() && getComputedStyle(one).outlineStyle !== 'solid')
      .map((one) => `${one.className} "${(one.textContent ?? '').slice(0, 30)}"`),
  );
}

/** What is wrong with the view as it is, at this size: its width, its targets, and axe in both themes. */
async function sizeFaultsOf(page: Page, size: { readonly width: number }): Promise<string[]> {
  const found: string[] = [];
  const wider = await overflow(page);
  if (wider > 0) found.push(`${wider} px too wide`);
  if (size.width <= TOUCH_PX) found.push(...(await lowTargets(page)));
  for (const theme of THEMES) {
    await setTheme(page, theme);
    found.push(...(await axeFaults(page, theme === 'light' && size.width !== TOUCH_PX ? null : BY_LOOK)).map((fault) => `${theme}: ${fault}`));
  }
  if (size.width === TOUCH_PX) found.push(...(await twiceTheText(page)));
  return found;
}

/** Text of twice the size (WCAG 1.4.4): where the page is wider than its window, and controls whose words do not fit into them. */
async function twiceTheText(page: Page): Promise<string[]> {
  const size = page.viewportSize()!;
  await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
  // by one pixel, so that what a script lays out by its width is laid out by the new text as well
  await resize(page, { ...size, width: size.width - 1 });
  const wider = await overflow(page);
  const clipped = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button:not(.segment), .tool, .button, .badge')]
      .filter((one) => one.offsetParent !== null && one.scrollWidth > one.clientWidth + 1)
      .map((one) => `${one.className}: ${one.textContent}`),
  );
  await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  await resize(page, size);
  return [...(wider > 0 ? [`text of twice the size: ${wider} px too wide`] : []), ...clipped.map((one) => `text of twice the size: "${one}" does not fit`)];
}
