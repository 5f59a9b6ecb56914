import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { JOB, writeTrace } from '../daemon/prove-stand.ts';
import { axeFaults, goTo, launchBrowser, newFolder, overflow, QUIET, removeFolders, sizeAndThemeFaults, startBuilt, visit, type RunningDaemon } from './browser.ts';

const DRAGGING = '2026-11-25T07-05-00Z-dragging';

describe('usual currents of a circuit', () => {
  let browser: Browser;
  let daemon: RunningDaemon;
  let dataDir: string;

  beforeAll(async () => {
    dataDir = newFolder();
    // slow both ways, and nothing that says what is usual
    await writeTrace(dataDir, DRAGGING, 'side-step-dragging', { actuation_options: null });
    [browser, daemon] = await Promise.all([launchBrowser(), startBuilt(QUIET, { dataDir })]);
  });
  afterAll(async () => {
    await browser.close();
    await daemon.close();
    removeFolders();
  });

  /** Both ends of one figure in the form. */
  async function enter(page: Page, figure: string, low: string, high: string): Promise<void> {
    const ends = page.getByRole('group', { name: figure }).getByRole('textbox');
    await ends.nth(0).fill(low);
    await ends.nth(1).fill(high);
  }

  it('are entered with and without a trace, picked in the set-up of both tests, changed, removed and brought back, handed on as a file', async () => {
    const { page, context, faults } = await visit(browser, daemon.url);
    await goTo(page, 'setup');
    await page.getByRole('link', { name: 'Usual currents: add or change' }).click();
    const form = page.getByRole('form', { name: 'Enter usual currents' });
    await form.getByLabel('Circuit').fill('Side step');
    await form.getByLabel('Vehicle type').fill('minibus');
    await form.getByLabel('Where it is measured').fill('fuse F7');
    await enter(page, 'Runs at', '4,2', '3');
    await form.getByRole('button', { name: 'Save' }).click();
    await form.getByRole('alert').getByText('the lower one first').waitFor();
    await enter(page, 'Runs at', '3', '4,2');
    await enter(page, 'Stalls at', '12', '16');
    await enter(page, 'Asleep', '2', '21');
    expect(await axeFaults(page)).toEqual([]);
    await form.getByRole('button', { name: 'Save' }).click();
    const list = page.locator('.set-list');
    await list.getByText('runs at 3.00 A to 4.20 A, stalls at 12.0 A to 16.0 A').waitFor();

    // picked for the motor test, and for the key-off test
    await goTo(page, 'setup');
    await page.getByLabel('Usual currents of').selectOption({ label: 'Side step, minibus, fuse F7' });
    await page.waitForFunction(() => [...document.querySelectorAll<HTMLInputElement>('input[inputmode="decimal"]')].some(({ value }) => value === '4.2'));
    expect(await page.getByLabel('Usually runs from').inputValue()).toBe('3');
    await page.getByText('measured at fuse F7').waitFor();
    await page.getByRole('radio', { name: /Key-off drain/ }).check();
    await page.getByLabel('Usual currents of').selectOption({ label: 'Side step, minibus, fuse F7' });
    await page.waitForFunction(() => [...document.querySelectorAll<HTMLInputElement>('input[inputmode="decimal"]')].some(({ value }) => value === '21'));
    expect(await page.getByLabel('Or your own limit').inputValue()).toBe('21');

    // changed; removed and brought back
    await goTo(page, 'compare/known-good');
    await page.getByRole('button', { name: 'Change', exact: true }).click();
    await enter(page, 'Runs at', '3', '4.5');
    await page.getByRole('form', { name: 'Change usual currents' }).getByRole('button', { name: 'Save' }).click();
    await list.getByText('runs at 3.00 A to 4.50 A').waitFor();
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByText('Side step removed.').waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await list.getByText('runs at 3.00 A to 4.50 A').waitFor();

    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Export this one' }).click();
    const file = readFileSync(await (await saving).path());
    expect(JSON.parse(file.toString())).toMatchObject({ schema: 'amptrail-known-good/1', circuit: 'Side step', usual: { run_a: [3, 4.5], stall_a: [12, 16], inrush_peak_a: null, asleep_a: [0.002, 0.021] } });
    // another workshop takes it in, once; a stranger's file is refused
    const other = await startBuilt(QUIET);
    try {
      const there = await visit(browser, other.url, { width: 390, height: 844 });
      await goTo(there.page, 'compare/known-good');
      // before there is any trace nothing can be learnt
      await there.page.getByRole('form', { name: 'Enter usual currents' }).waitFor();
      const field = there.page.getByLabel('Usual currents and limits as a JSON file');
      await field.setInputFiles({ name: 'step.json', mimeType: 'application/json', buffer: file });
      await there.page.getByText('1 circuit imported.').waitFor();
      await field.setInputFiles({ name: 'step.json', mimeType: 'application/json', buffer: file });
      await there.page.getByText('Nothing new; 1 was already here.').waitFor();
      await field.setInputFiles({ name: 'else.json', mimeType: 'application/json', buffer: Buffer.from('[]') });
      await there.page.getByRole('alert').getByText('cannot be used').waitFor();
      expect(await there.page.locator('.set-list > li').count()).toBe(1);
      expect(await overflow(there.page)).toBe(0);
      await there.context.close();
    } finally {
      await other.close();
    }

    // a recording that has nothing to be judged by asks for the range where it is read, and is read again with it
    await goTo(page, `trace/${JOB}/${DRAGGING}`);
    await page.locator('[data-finding="normal"]').waitFor();
    const asked = page.getByRole('region', { name: 'Usual running current' });
    await asked.getByLabel('Usually runs from').fill('3');
    await asked.getByLabel('up to').fill('5');
    await asked.getByLabel('up to').blur();
    await page.locator('[data-finding="heavy"]').waitFor();
    expect(await sizeAndThemeFaults(page)).toEqual([]);
    await page.reload();
    await page.locator('[data-finding="heavy"]').waitFor();
    expect(await asked.getByLabel('up to').inputValue()).toBe('5');
    expect(faults).toEqual([]);
    await context.close();
  });
});
