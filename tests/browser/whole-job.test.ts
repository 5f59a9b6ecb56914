import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { RunningDaemon } from './browser.ts';
import { goTo, launchBrowser, removeFolders, startBuilt, visit } from './browser.ts';

/** A job of the depot from the complaint to the printed page, the way a technician goes who does what the page asks. */
describe('a whole job, in a real browser', () => {
  let browser: Browser;
  let daemon: RunningDaemon | null = null;

  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterEach(async () => {
    await daemon?.close();
    daemon = null;
  });
  afterAll(async () => {
    await browser.close();
    removeFolders();
  });

  it('a step that moves on one side only: from the sign to the page that proves the repair', async () => {
    daemon = await startBuilt('sim:side-step-broken-gear');
    const { page, context, faults } = await visit(browser, daemon.url);
    const job = await newJob(page, 'Minibus 4', 'Step twists, the front side stays behind');
    await answer(page, 'It twists, or moves on one side only', 'Yes');
    await cause(page, 'broken-drive', 'open');
    await follow(page, 'record-press', { 'other-side': 'No', 'by-hand': 'No' });
    const next = page.getByRole('region', { name: 'Next check' });
    await next.getByText('Clamp round one wire of the motor.').waitFor();
    expect(await next.locator('tbody tr').count()).toBeGreaterThan(5);
    await next.getByRole('button', { name: 'Set it up' }).click();
    await page.getByLabel('Usually runs from').fill('3');
    await page.getByLabel('up to').fill('5');
    await page.keyboard.press('Tab');
    await page.getByRole('link', { name: 'Start the test' }).click();
    await record(page, 'light');

    await goTo(page, `job/${job}`);
    await page.locator('.causes').first().locator('li').first().getByText('Drive broken').waitFor();
    await page.locator('[data-cause="broken-drive"]').getByText('it runs, and draws less than usual').waitFor();
    await cause(page, 'mechanism', 'ruled-out');
    await next.getByRole('button', { name: 'Write down the repair' }).click();
    await page.getByLabel('What was done').fill('Drive cable hung in again, new clip');
    await page.getByLabel('Part', { exact: true }).fill('cable clip');
    await page.getByRole('button', { name: 'Repaired now' }).click();
    await page.getByText('Nothing was recorded after the repair').waitFor();

    await goTo(page, 'setup');
    await page.getByLabel('Virtual vehicle').selectOption('side-step-healthy');
    await page.getByRole('link', { name: 'Start the test' }).click();
    await record(page, 'normal');
    await goTo(page, `job/${job}/repair`);
    await page.getByText('Confirmed: Drive broken').waitFor();
    await page.getByRole('button', { name: 'Page for the customer' }).click();
    const sheet = page.locator('.report-sheet');
    await sheet.getByText('What was wrong:').waitFor();
    await sheet.getByText('Drive broken, or broken on one side').waitFor();
    await sheet.getByText('Drive cable hung in again, new clip; cable clip').waitFor();
    await sheet.getByText('shows the fault no more').waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.prove-tools').isVisible()).toBe(false);
    expect(await sheet.isVisible()).toBe(true);
    expect(faults).toEqual([]);
    await context.close();
  }, 180_000);
});

/** Writes a job down and opens it; returns its id. */
async function newJob(page: Page, vehicle: string, complaint: string): Promise<string> {
  await goTo(page, 'job');
  await page.getByLabel('Vehicle').fill(vehicle);
  await page.getByLabel('Complaint').fill(complaint);
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByRole('region', { name: 'What is left' }).locator('.cause').first().waitFor();
  return page.evaluate(() => location.hash.split('/')[2]!);
}

async function answer(page: Page, sign: string, given: 'Yes' | 'No'): Promise<void> {
  const button = page.getByRole('group', { name: sign, exact: true }).getByRole('button', { name: given, exact: true });
  await button.click();
  await page.getByRole('group', { name: sign, exact: true }).getByRole('button', { name: given, exact: true, pressed: true }).waitFor();
  await settled(page);
}

async function settled(page: Page): Promise<void> {
  await page.locator('.left[aria-busy="false"]').waitFor();
}

async function cause(page: Page, name: string, state: string): Promise<void> {
  await page.locator(`[data-cause="${name}"].cause-${state}`).waitFor();
}

/** Does the checks that are answered by a look, until the wanted one is asked for; it must come within three. */
async function follow(page: Page, wanted: string, answers: Readonly<Record<string, string>>): Promise<void> {
  for (let round = 0; round < 3; round++) {
    await settled(page);
    const next = page.locator('.next[data-check]');
    await next.waitFor();
    const asked = (await next.getAttribute('data-check'))!;
    if (asked === wanted) return;
    const given = answers[asked];
    if (given === undefined) throw new Error(`asked for ${asked} before ${wanted}`);
    await next.getByRole('button', { name: given }).click();
    await page.waitForFunction((before) => document.querySelector('.next')?.getAttribute('data-check') !== before, asked);
  }
  expect(await page.locator('.next').getAttribute('data-check')).toBe(wanted);
}

/** Records until the finding stands, and a little on. */
async function record(page: Page, finding: string): Promise<void> {
  await page.getByRole('button', { name: 'Record', exact: true }).click();
  await page.getByRole('button', { name: 'Stop', exact: true }).waitFor();
  await page.locator(`[data-finding="${finding}"]`).waitFor({ timeout: 60_000 });
  await page.waitForTimeout(4000);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('link', { name: 'Open the recording' }).waitFor();
}
