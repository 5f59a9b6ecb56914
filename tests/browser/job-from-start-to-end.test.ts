import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../analyse.ts';
import { joinBlocks } from '../../src/core/trace.ts';
import { readCsv } from '../core/tracefile/read-csv.ts';
import { goTo, newFolder, startBuilt, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

describe('the pages, in a real browser on a real daemon', () => {
  const on = withDaemon(() => startBuilt('sim:side-step-jam'));

  it('go from opening the address to a finding without a touch', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await page.locator('[data-finding="stalled"]').waitFor();
    expect(await page.title()).toBe('Test – amptrail');
    expect(page.url()).not.toContain(on.daemon.token);
    await page.locator('.segment-stall').first().waitFor();
    const { points, columns } = await page.locator('.chart-host').evaluate((host) => ({ points: Number((host as HTMLElement).dataset['points']), columns: Number((host as HTMLElement).dataset['columns']) }));
    expect(points).toBeGreaterThan(100);
    // x moments of both channels together: two of each column are shared, so 6 are at most 4 for either
    expect(points).toBeLessThanOrEqual(6 * columns + 12);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('record a jam worked by hand, explain it, keep it, and export what analyses to the same', async () => {
    const own = await startBuilt('sim:side-step-jam');
    const { page, context, faults } = await visit(on.browser, own.url);
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await page.getByRole('button', { name: 'Stop', exact: true }).waitFor();
    // why nothing can be armed meanwhile is said
    await page.locator('details.arm summary').click();
    await page.locator('details.arm').getByText('Stop it before you arm the next recording.').waitFor();
    expect(await page.getByRole('button', { name: 'Arm', exact: true }).isDisabled()).toBe(true);
    await page.locator('details.arm summary').click();
    // figures of a moment are over before a busy machine has looked: the hand lets go when the reading of this recording says that the press is there
    const listed = page.getByRole('region', { name: 'Presses' }).locator('.row-words');
    await page.getByRole('button', { name: 'Hold forward' }).hover();
    await page.mouse.down();
    await page.getByRole('button', { name: 'Hold forward', pressed: true }).waitFor();
    await listed.filter({ hasText: /Stalled.*forward/ }).first().waitFor();
    await page.mouse.up();
    await page.getByRole('button', { name: 'Hold reverse' }).focus();
    await page.keyboard.down(' ');
    await page.getByRole('button', { name: 'Hold reverse', pressed: true }).waitFor();
    await listed.filter({ hasText: 'reverse' }).first().waitFor();
    await page.keyboard.up(' ');
    await page.locator('.chart-host').focus();
    await page.keyboard.press(' ');
    await page.locator('.segment-note').first().waitFor();
    await page.locator('[data-finding="stalled"]').waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByRole('link', { name: 'Open the recording' }).waitFor();

    await page.reload();
    await page.getByRole('link', { name: 'Traces' }).click();
    await page.getByLabel('Find').fill('stalled');
    const row = page.locator('.trace-row').first();
    await row.waitFor();
    await row.click();
    await page.locator('[data-finding="stalled"]').waitFor();
    expect(await page.locator('.mark-list li').count()).toBe(1);

    await page.getByText('Export', { exact: true }).click();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'CSV' }).click()]);
    const { blocks, summary } = readCsv(readFileSync(await download.path()));
    expect(summary.samples).toBeGreaterThan(2000);
    const result = analyseActuation(joinBlocks(blocks, []), {});
    expect(result.verdict.finding).toBe('stalled');
    const shown = await page.locator('.figures tbody tr').count();
    expect(result.actuations).toHaveLength(shown);
    expect(faults).toEqual([]);
    await context.close();
    await own.close();
  });

  it('can be worked by keyboard alone, from the key screen to a mark', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url.replace(/#.*/, ''));
    await page.getByRole('heading', { name: 'This page needs its key' }).waitFor();
    await page.getByLabel('Address or key').focus();
    await page.keyboard.insertText(on.daemon.url);
    await page.keyboard.press('Enter');
    await page.locator('.big-current .big-digits').waitFor();
    // by Tab to the chart: every stop on the way shows where it is
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => ({ chart: document.activeElement?.classList.contains('chart-host') ?? false, outline: getComputedStyle(document.activeElement!).outlineStyle }));
      expect(at.outline).not.toBe('none');
      if (at.chart) break;
    }
    expect(await page.evaluate(() => document.activeElement?.classList.contains('chart-host'))).toBe(true);
    await page.keyboard.press('ArrowLeft');
    await page.getByRole('button', { name: 'Back to live' }).waitFor();
    await page.keyboard.press('[');
    for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.press(']');
    await page.getByRole('region', { name: 'Measured stretch' }).getByText('Charge').waitFor();
    await page.keyboard.press('Escape');
    const marks = await page.locator('.segment-note').count();
    await page.keyboard.press('p');
    // a page that has not heard from the logger for two seconds takes no mark: on a busy machine the key is pressed again
    await expect
      .poll(async () => {
        await page.keyboard.press(' ');
        return page.locator('.segment-note').count();
      }, { interval: 1000 })
      .toBeGreaterThan(marks);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('draw a limit that was typed in, and flag and list readings past it', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    await page.locator('.big-current .big-digits').waitFor();
    await goTo(page, 'setup');
    await page.getByLabel('Motor or mechanism').check();
    await page.getByLabel('Flag readings above').fill('8');
    await page.getByLabel('Flag readings above').blur();
    await page.getByRole('link', { name: 'Start the test' }).click();
    expect(await page.getByRole('button', { name: 'Sound off' }).getAttribute('aria-pressed')).toBe('false');
    const forward = page.getByRole('button', { name: 'Hold forward' });
    await forward.focus();
    await page.keyboard.down('Enter');
    const flags = page.getByRole('region', { name: 'Flags' });
    await flags.getByText('Past 8.00 A').waitFor();
    await page.keyboard.up('Enter');
    // without a hold-off the switch-on, over in some hundred milliseconds, is past the limit as well
    const lengths = (): Promise<number[]> => flags.locator('.row-words span').allTextContents().then((all) => all.map((text) => Number.parseFloat(text.replace('for ', '')) / (text.endsWith('ms') ? 1000 : 1)));
    const holdOff = async (holdS: string): Promise<void> => {
      await goTo(page, 'setup');
      await page.getByLabel('For longer than').fill(holdS);
      await page.getByLabel('For longer than').blur();
      await goTo(page, 'test');
    };
    const shortestS = async (): Promise<number> => Math.min(...(await lengths()));
    const press = async (until: () => Promise<void>): Promise<void> => {
      await forward.focus();
      await page.keyboard.down('Enter');
      await until();
      await page.keyboard.up('Enter');
    };
    await holdOff('0');
    await press(() => expect.poll(shortestS).toBeLessThan(0.6));
    await expect.poll(shortestS).toBeLessThan(0.6);
    // with one the jam, which lasts, is all that is listed
    await holdOff('0.8');
    await expect.poll(shortestS).toBeGreaterThan(0.8);
    const count = async (): Promise<number> => (await flags.count() === 0 ? 0 : Number(await flags.locator('.count').textContent()));
    const before = await count();
    await press(() => expect.poll(count).toBeGreaterThan(before));
    expect(await shortestS()).toBeGreaterThan(0.8);
    // the list ends with the source it is of, as the presses do
    await page.getByRole('region', { name: 'Presses' }).locator('.row-words').first().waitFor();
    await page.locator('.virtual select').selectOption('side-step-healthy');
    await flags.waitFor({ state: 'detached' });
    await expect.poll(() => page.locator('[data-finding="stalled"], .segment-stall').count()).toBe(0);
    await context.close();
  });

  it('let nobody in with a wrong token, and say where the right one is', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url.replace(/#.*/, `#${'x'.repeat(32)}`));
    await page.getByRole('heading', { name: 'This page was not let in' }).waitFor();
    await page.getByText('amptrail serve').waitFor();
    expect(await page.locator('.big-digits').count()).toBe(0);
    await context.close();
  });

  it('say that the connection is lost, grey out what is old, and come back with the daemon', async () => {
    const dataDir = newFolder();
    const first = await startBuilt('sim:side-step-healthy', { dataDir });
    const { page, context } = await visit(on.browser, first.url);
    await page.locator('.big-current .big-digits').waitFor();
    await first.close();
    await page.getByText('Connection lost.').waitFor();
    await page.locator('.big-current.big-old').getByText(/old: no connection/).waitFor();
    expect(await page.getByRole('button', { name: 'Record', exact: true }).getAttribute('aria-disabled')).toBe('true');
    // a daemon started anew has a new key: the page says so instead of trying for ever
    const second = await startBuilt('sim:side-step-healthy', { dataDir, port: first.port });
    await page.getByRole('heading', { name: 'This page was not let in' }).waitFor();
    await page.getByLabel('Address or key').fill(second.url);
    await page.getByRole('button', { name: 'Open' }).click();
    await page.locator('.big-current .big-digits').waitFor();
    await second.close();
    await context.close();
  });
});
