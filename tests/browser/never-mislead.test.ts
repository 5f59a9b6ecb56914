import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';
import { lineLogger } from './logger-lines.ts';

describe('pages that must not mislead, in a real browser', () => {
  const on = withBrowser();

  it('show lines of which none is a reading, and read them once their columns are chosen', async () => {
    const logger = await lineLogger();
    logger.print('A0: 513 mV 12.6V ok', 50);
    const daemon = await startBuilt(`serial:${logger.path}?baud=115200`);
    const { page, context } = await visit(on.browser, daemon.url);
    const odd = page.getByRole('region', { name: 'Lines arrive, but none of them is a reading' });
    // words alone cannot be read, whatever is chosen: no column is offered
    await odd.getByText('None of it is a plain number').waitFor();
    expect(await odd.getByLabel(/^Column/).count()).toBe(0);
    logger.print('1,21.5,750,12.4,7', 50);
    await odd.getByText('1,21.5,750,12.4,7').first().waitFor();
    await odd.getByLabel(/^Column 5/).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(await odd.getByRole('button', { name: 'Use these columns' }).isDisabled()).toBe(true);
    await odd.getByLabel(/^Column 3/).selectOption('current in mA');
    await odd.getByLabel(/^Column 4/).selectOption('voltage in V');
    await odd.getByRole('button', { name: 'Use these columns' }).click();
    await page.locator('.big-current .big-digits').getByText('0.75').waitFor();
    await odd.waitFor({ state: 'detached' });
    await context.close();
    await daemon.close();
    logger.close();
  });

  it('refuse a zero while the motor runs, tick nothing, and say why where it was asked for', async () => {
    const logger = await lineLogger();
    logger.print(() => `${(2.37 + 0.05 * Math.random()).toFixed(3)},12.4`, 20);
    const daemon = await startBuilt(`serial:${logger.path}`);
    const { page, context } = await visit(on.browser, daemon.url);
    await goTo(page, 'setup');
    const check = page.getByRole('region', { name: 'Sensor check' });
    await page.locator('.big-current .big-digits').waitFor();
    await page.waitForTimeout(2500);
    await check.getByRole('button', { name: 'Set zero' }).click();
    await check.getByText(/^Zero not set: the reading is 2\.\d+ A/).waitFor();
    expect(await check.getByRole('button', { name: 'Clear it' }).count()).toBe(0);
    await context.close();
    await daemon.close();
    logger.close();
  });
});
