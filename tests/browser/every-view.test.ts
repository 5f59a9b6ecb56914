import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { JOB_SCHEMA } from '../../src/core/tracefile/record.ts';
import { writeJson } from '../../src/daemon/store/files/record-file.ts';
import { JOB, writeJob, writeTrace } from '../daemon/prove-stand.ts';
import { goTo, newFolder, QUIET, startBuilt, visit, type RunningDaemon } from './browser.ts';
import { openAll, viewFaults, type View } from './views.ts';
import { withDaemon } from './with-browser.ts';

const BEFORE = '2026-11-25T07-05-00Z-before';
const NIGHT = '2026-11-24T10-05-00Z-pulls';
const OTHER_JOB = '20261126-070000-library-bus';

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
  const daemon = await startBuilt(QUIET, { dataDir });
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

/** Every view of what is kept; those of what is live are in `every-live-view.test.ts`. */
const VIEWS: readonly View[] = [
  { name: 'jobs', open: (page) => goTo(page, 'job') },
  ...['volts', 'reversal', 'fuses', 'repair', 'story'].map((part) => ({ name: `job, ${part}`, open: async (page: Page) => {
    await goTo(page, `job/${JOB}/${part}`);
    await page.locator('.parts a[aria-current="page"]').waitFor();
  } })),
  { name: 'job', open: async (page) => {
    await goTo(page, `job/${JOB}`);
    await page.locator('.left[aria-busy="false"]').waitFor();
  } },
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
];

describe('every view of what is kept', () => {
  const on = withDaemon(filled);

  it('is clean to axe in both themes at three sizes, fits them and text of twice the size, has targets for fingers and a frame round what is chosen in the colours of the system', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    page.setDefaultTimeout(60_000);
    expect(await viewFaults(page, VIEWS)).toEqual([]);
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
