import { afterAll, describe, expect, it } from 'vitest';
import { launchBrowser, QUIET, removeFolders, startBuilt, visit } from './browser.ts';

describe('a browser that was given no language tag, but what LANG holds', () => {
  afterAll(removeFolders);

  it('shows the page and its readings: en-US@posix left it blank', async () => {
    const browser = await launchBrowser(['--accept-lang=en-US@posix', '--lang=en-US@posix']);
    const daemon = await startBuilt(QUIET);
    const { page, context, faults } = await visit(browser, daemon.url, undefined, {});
    expect(await page.evaluate(() => navigator.languages)).toEqual(['en-US@posix']);
    await page.getByRole('button', { name: 'Record', exact: true }).waitFor();
    await page.locator('.uplot canvas').first().waitFor();
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
    await browser.close();
  });
});
