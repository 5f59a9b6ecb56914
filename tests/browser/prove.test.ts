import { readFileSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { JOB, writeJob, writeTrace } from '../daemon/prove-stand.ts';
import { axeFaults, goTo, launchBrowser, newFolder, overflow, removeFolders, startBuilt, visit, type RunningDaemon } from './browser.ts';

const MOTOR = [`${JOB}/2026-11-25T07-05-00Z-before`, `${JOB}/2026-11-25T09-05-00Z-after`];
const NIGHT = [`${JOB}/2026-11-24T07-05-00Z-parked`, `${JOB}/2026-11-24T09-05-00Z-parked`];

describe('comparing and proving, in a real browser on a real daemon', () => {
  let browser: Browser;
  let daemon: RunningDaemon;

  beforeAll(async () => {
    const dataDir = newFolder();
    await writeJob(dataDir);
    const name = (key: string): string => key.split('/')[1]!;
    await writeTrace(dataDir, name(MOTOR[0]!), 'side-step-jam', { title: 'Before the repair' });
    await writeTrace(dataDir, name(MOTOR[1]!), 'side-step-healthy', { title: 'After the repair' });
    await writeTrace(dataDir, name(NIGHT[0]!), 'library-bus-heater', { title: 'Parked, before' });
    await writeTrace(dataDir, name(NIGHT[1]!), 'minibus-sleeps', { title: 'Parked, after' });
    [browser, daemon] = await Promise.all([launchBrowser(), startBuilt('sim:side-step-healthy', { dataDir })]);
  });
  afterAll(async () => {
    await browser.close();
    await daemon.close();
    removeFolders();
  });

  it('lay the two newest traces of a job on each other, and say what changed', async () => {
    const { page, context, faults } = await visit(browser, daemon.url);
    await goTo(page, 'compare');
    await page.locator('[data-finding="repaired"]').waitFor();
    expect(await page.locator('.overlay-plot').count()).toBe(4);
    expect(await page.locator('table.figures .is-moved').count()).toBeGreaterThan(0);
    expect(await axeFaults(page)).toEqual([]);
    await page.setViewportSize({ width: 390, height: 844 });
    await page.waitForFunction(() => document.querySelector('.overlay-plot')!.clientWidth < 390);
    expect(await overflow(page)).toBe(0);

    await page.getByRole('combobox', { name: 'After', exact: true }).selectOption(NIGHT[1]!);
    expect(await page.getByRole('alert').textContent()).toContain('two traces of the same test');
    await page.getByRole('combobox', { name: 'Before', exact: true }).selectOption(NIGHT[0]!);
    await page.locator('[data-finding="repaired"]').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('show the page to hand over, and save it as one file that opens by itself', async () => {
    const { page, context, faults } = await visit(browser, daemon.url, { width: 390, height: 844 });
    await goTo(page, 'prove');
    await page.locator('.report-sheet').getByText('Repaired', { exact: true }).waitFor();
    expect(await overflow(page)).toBe(0);
    expect(await axeFaults(page)).toEqual([]);
    await page.getByText('For the file').click();
    await page.locator('.report-sheet').getByText('Not tested').waitFor();
    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).click();
    const saved = readFileSync(await (await saving).path(), 'utf8');
    expect(saved).toMatch(/^<!doctype html>/);
    expect(saved).not.toMatch(/<script|https?:/i);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('print on one or two pages for the customer and at most three for the file, on A4 and on Letter', async () => {
    const page = await browser.newPage();
    for (const traces of [MOTOR, NIGHT]) {
      for (const [audience, most] of [['customer', 2], ['file', 3]] as const) {
        const answer = await fetch(`http://127.0.0.1:${daemon.port}/api/report?traces=${traces.join(',')}&for=${audience}`, { headers: { Authorization: `Bearer ${daemon.token}` } });
        await page.setContent(await answer.text());
        for (const format of ['A4', 'Letter']) {
          const pages = pagesOf(await page.pdf({ format }));
          expect(pages, `${traces[0]} ${audience} ${format}`).toBeGreaterThanOrEqual(1);
          expect(pages, `${traces[0]} ${audience} ${format}`).toBeLessThanOrEqual(most);
        }
      }
    }
    await page.close();
  });
});

/** Page objects of a PDF (ISO 32000-1, 7.7.3.3: /Type /Page; the tree's own nodes are /Pages). Chromium writes them uncompressed. */
function pagesOf(pdf: Buffer): number {
  return (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
}
