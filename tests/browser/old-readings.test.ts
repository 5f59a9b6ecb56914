import { describe, expect, it } from 'vitest';
import { goTo, newFolder, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';
import { daemonProcess, lineLogger } from './logger-lines.ts';

describe('a page whose readings stop, in a real browser', () => {
  const on = withBrowser();

  it('greys its figures, says how old they are and that nothing is recorded when the logger falls silent, and goes on with it', async () => {
    const logger = await lineLogger();
    logger.print(() => `${(0.5 + 0.01 * Math.random()).toFixed(3)},12.6`, 20);
    const daemon = await startBuilt(`serial:${logger.path}`);
    const { page, context } = await visit(on.browser, daemon.url);
    await page.locator('.big-current .big-digits').waitFor();
    await goTo(page, 'setup');
    await page.getByRole('radio', { name: /^Key-off drain/ }).check();
    await goTo(page, 'test');
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await page.waitForFunction(() => /^0:(0[2-9]|[1-5])/.test(document.querySelector('.record-clock')?.textContent ?? ''));
    const night = page.getByRole('region', { name: 'Night watch' });
    await night.locator('.night-facts:not(.is-old)').waitFor();
    await page.getByRole('button', { name: 'Large' }).click();
    const large = page.getByRole('dialog', { name: 'Readings over the whole screen' });
    await large.locator('.wide-figures:not(.is-old)').waitFor();
    await large.getByText(/^recording 0:/).waitFor();
    logger.silence();
    await large.locator('.wide-figures.is-old').waitFor();
    await large.getByText(/old: no readings since/).waitFor();
    await large.locator('.wide-not').getByText('No readings: nothing is being recorded.').waitFor();
    await large.getByRole('button', { name: 'Back', exact: true }).click();
    await night.locator('.night-facts.is-old').waitFor();
    await night.getByRole('status').getByText(/old: no readings since/).waitFor();
    await page.locator('.not-recording').getByText('NO READINGS: NOT RECORDING').waitFor();
    await page.locator('.strip-state').getByText('No readings: nothing is being recorded.').waitFor();
    await page.locator('.big-current.big-old').getByText(/old: no readings since/).waitFor();
    await page.getByText(/Chart stopped: last reading \d+ s ago\./).waitFor();
    const elapsed = await page.locator('.record-clock').textContent();
    expect(elapsed).toMatch(/^0:(0[2-9]|[1-5])/);
    await goTo(page, 'setup');
    await page.locator('.facts.is-old', { hasText: 'Sends' }).waitFor();
    await page.locator('.heard.is-old').waitFor();
    // a reading that has stopped cannot be taken for a calibration
    await goTo(page, 'calibrate');
    await page.locator('[data-steady="none"]').waitFor();
    await goTo(page, 'test');
    await page.locator('.big-current.big-old').waitFor();
    logger.print('0.5,12.6', 20);
    await page.locator('.big-current:not(.big-old)').waitFor();
    await page.locator('.strip-state').getByText('No readings: nothing is being recorded.').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await context.close();
    await daemon.close();
    logger.close();
  }, 120_000);

  it('says the same when the program behind it stands still, though the connection is open', async () => {
    const daemon = await daemonProcess('sim:side-step-healthy', newFolder());
    const { page, context } = await visit(on.browser, daemon.url);
    await page.locator('.big-current .big-digits').waitFor();
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await page.waitForFunction(() => /^0:(0[2-9]|[1-5])/.test(document.querySelector('.record-clock')?.textContent ?? ''));
    daemon.hang();
    await page.locator('.strip-state').getByText('No readings, no connection: assume that nothing is being recorded.').waitFor();
    await page.locator('.big-current.big-old').getByText(/old: no connection/).waitFor();
    expect(await page.locator('.record-clock').textContent()).not.toMatch(/^0:0[01]$/);
    daemon.goOn();
    await page.locator('.big-current:not(.big-old)').waitFor();
    await context.close();
    await daemon.close();
  });

  it('does not go on saying that lines arrive which are no readings, on either screen, when the program behind it hangs', async () => {
    const logger = await lineLogger();
    logger.print('U: twelve', 20);
    const daemon = await daemonProcess(`serial:${logger.path}`, newFolder());
    const { page, context } = await visit(on.browser, daemon.url);
    await goTo(page, 'setup');
    const odd = page.getByRole('region', { name: 'Lines arrive, but none of them is a reading' });
    const card = page.locator('#lines-of-the-logger');
    await odd.waitFor();
    await card.getByText('U: twelve').first().waitFor();
    expect(await card.locator('.heard.is-old').count()).toBe(0);
    daemon.hang();
    await odd.waitFor({ state: 'detached' });
    await page.locator('.notices').getByText('The program behind this page does not answer.').waitFor();
    await card.getByText('The program behind this page does not answer.').waitFor();
    expect(await card.locator('.logger-trouble').count()).toBe(1);
    await card.locator('.heard.is-old').waitFor();
    await goTo(page, 'test');
    expect(await odd.count()).toBe(0);
    daemon.goOn();
    await odd.waitFor();
    await page.locator('.notices').getByText('The program behind this page does not answer.').waitFor({ state: 'detached' });
    await context.close();
    await daemon.close();
    logger.close();
  });
});
