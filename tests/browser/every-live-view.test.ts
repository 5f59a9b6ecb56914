import { describe, expect, it } from 'vitest';
import { writeJob } from '../daemon/prove-stand.ts';
import { goTo, newFolder, QUIET, recordUntil, startBuilt, visit } from './browser.ts';
import { openAll, viewFaults, type View } from './views.ts';
import { withBrowser } from './with-browser.ts';

/** Views that what the logger sends has filled. */
const FILLED: readonly View[] = [
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
];

/** Views that look the same however fast its readings come. */
const OTHERS: readonly View[] = [
  { name: 'read', open: (page) => goTo(page, 'read') },
  { name: 'set-up of a motor test', open: async (page) => {
    await goTo(page, 'setup');
    await page.getByLabel('Motor or mechanism').check();
    await openAll(page, 'details');
  } },
  { name: 'calibration', open: (page) => goTo(page, 'calibrate') },
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

describe('every view of what is live', () => {
  const on = withBrowser();

  it.each([
    ['of the test', 'sim:side-step-jam', FILLED],
    ['around it', QUIET, OTHERS],
  ])('%s is clean to axe in both themes at three sizes, fits them and text of twice the size, has targets for fingers and a frame round what is chosen in the colours of the system', async (_which, source, views) => {
    const dataDir = newFolder();
    await writeJob(dataDir);
    const daemon = await startBuilt(source, { dataDir });
    const { page, context, faults } = await visit(on.browser, daemon.url);
    page.setDefaultTimeout(60_000);
    expect(await viewFaults(page, views)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
  }, 600_000);
});
