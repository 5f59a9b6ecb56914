import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, newFolder, QUIET, sizeFaults, SIZES, startBuilt, themeFaults, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';

describe('the job of the day, in a real browser', () => {
  const on = withBrowser();

  it('is named on every screen, marks what is made up, and is still there after a restart', async () => {
    const dataDir = newFolder();
    const first = await startBuilt(QUIET, { dataDir });
    const { page, context, faults } = await visit(on.browser, first.url);
    await page.getByText('Live: virtual vehicle, not a measurement').waitFor();
    await goTo(page, 'job');
    await page.getByLabel('Vehicle', { exact: true }).fill('Minibus 4');
    await page.getByLabel('Complaint').fill('side step hardly moves');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Recordings now go to this job.').or(page.getByRole('heading', { name: 'This job' })).first().waitFor();
    for (const screen of ['setup', 'test', 'read', 'compare', 'prove', 'traces']) {
      await goTo(page, screen);
      expect(await page.getByRole('region', { name: 'Job and recording' }).locator('select').evaluate((select) => (select as HTMLSelectElement).selectedOptions[0]!.text), screen).toBe('Minibus 4: side step hardly moves');
    }
    await goTo(page, 'test');
    await page.getByText('Goes to: Minibus 4').waitFor();
    await page.getByLabel('Name of the recording').fill('before');
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await page.getByText('Recording into').waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByLabel('Name of the recording').waitFor();
    expect(await page.getByLabel('Name of the recording').inputValue()).toBe('');
    expect(await themeFaults(page)).toEqual([]);
    expect(await sizeFaults(page, SIZES.slice(1))).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
    await first.close();

    const second = await startBuilt(QUIET, { dataDir });
    const again = await visit(on.browser, second.url);
    await again.page.getByText('Goes to: Minibus 4').waitFor();
    const question = again.page.getByRole('alert', { name: 'Job after the restart' });
    await question.getByText('Still working on Minibus 4: side step hardly moves?').waitFor();
    await again.page.getByRole('button', { name: 'Record', exact: true }).click();
    await again.page.getByText('Not recording yet: first say').waitFor();
    expect(await axeFaults(again.page)).toEqual([]);
    expect(await sizeFaults(again.page, SIZES.slice(1))).toEqual([]);
    await question.getByRole('button', { name: 'Yes, record to it' }).click();
    await question.waitFor({ state: 'detached' });
    await again.page.getByRole('button', { name: 'Record', exact: true }).click();
    await again.page.getByText('Recording into').waitFor();
    await again.context.close();
    await second.close();
  });
});
