import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { goTo, SIZES, sizeFaults, startBuilt, themeFaults, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

/** A library bus whose heater controller (F7) never sleeps, half a minute of its night in a second: what is said while it settles must be seen on a busy machine as well. */
describe('the guide through a key-off drain test, in a real browser', () => {
  const on = withDaemon(() => startBuilt('sim:library-bus-heater?speed=30'));

  it('warns, waits, says since when the vehicle rests, names the next fuse, and fills its table as fuses are pulled', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    const watch = page.getByRole('region', { name: 'Night watch' });
    // a page has no ears: what it would sound is counted
    await context.addInitScript(() => {
      const heard = { tones: 0 };
      Object.assign(window, { heard });
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (...when: [number?]) {
        heard.tones++;
        start.apply(this, when);
      };
    });
    await page.reload();
    await goTo(page, 'setup');
    await page.getByLabel('Key-off drain').check();
    // the wait of this bus's maker: without it a level that awake modules draw counts as rest after 75 minutes only
    await page.getByLabel('Time to settle').fill('8');
    await page.getByLabel('Time to settle').blur();
    await goTo(page, 'test');
    await watch.getByRole('button', { name: 'Sound off' }).click();
    await goTo(page, 'setup');
    const cautions = page.getByRole('region', { name: 'Cautions' });
    for (const words of ['bypass closed while the vehicle is awake', 'Never crank', 'Close the bypass before a fuse is pulled', 'Do not open a door with a milliamp range', 'latch faked closed', 'Key out of range', 'accessories and chargers unplugged', 'Put a fuse in series']) {
      await cautions.getByText(words).first().waitFor();
    }
    const tones = (): Promise<number> => page.evaluate(() => (window as unknown as { heard: { tones: number } }).heard.tones);
    const before = await tones();
    await page.getByRole('link', { name: 'Start the test' }).click();
    const guide = page.getByRole('region', { name: 'Drain guide' });
    await guide.getByRole('heading', { name: /^(Waiting for it to sleep|Settled for|Asleep for)$/ }).waitFor();
    const clock = await guide.locator('.clock').textContent();
    await page.waitForFunction((before) => document.querySelector('.guide .clock')?.textContent !== before, clock);
    // recorded from its first moment
    await page.getByRole('button', { name: 'Stop', exact: true }).waitFor();
    await watch.getByText('Recording for').waitFor();
    await watch.locator('div', { hasText: 'Look again' }).locator('dd').getByText(/^in about .* (min|h|s)/).waitFor();
    expect(await page.getByText('NOT RECORDING', { exact: true }).count()).toBe(0);

    await guide.getByRole('heading', { name: /^(Settled|Asleep) for$/ }).waitFor();
    // it settles above the limit: that sounds, though it has not woken
    await expect.poll(tones).toBeGreaterThan(before);
    await watch.locator('div', { hasText: 'Woken' }).locator('dd strong', { hasText: 'never' }).first().waitFor();
    await watch.locator('div', { hasText: 'Asleep for' }).locator('dd strong').first().waitFor();
    await guide.getByText('Average so far').locator('xpath=following-sibling::dd').getByText(/A$/).waitFor();
    const big = page.locator('#mark-button');
    // it may have settled without counting as asleep yet: a fuse is named once it does
    await big.getByText(/ pulled/).waitFor();
    const first = (await big.textContent())!.match(/^(\S+) pulled/)![1]!;
    await guide.getByText(`Pull ${first} and mark it`).waitFor();
    await big.click();
    await guide.getByText(`Put ${first} back`).waitFor();
    const table = guide.getByRole('region', { name: 'Table of pulled fuses' });
    await table.getByRole('row', { name: new RegExp(`^${first} `) }).waitFor();
    await nightPasses(page, 60);
    await big.click();

    // as the guide says, the reading settles before the next fuse: its lamps burn for 25 s of this night after the refit
    await nightPasses(page, 120);
    await guide.getByRole('heading', { name: /^(Settled|Asleep) for$/ }).waitFor();
    await page.locator('[data-finding="drain"]').waitFor();
    // over the limit it is not called asleep
    await page.locator('.card-figures dt').getByText('Settled at', { exact: true }).waitFor();
    await watch.locator('div', { hasText: 'Asleep for' }).locator('dd').getByText(/settled above the limit for/).waitFor();
    await page.getByRole('button', { name: 'F7 fitted' }).click();
    await table.getByRole('row', { name: /^F7 .* yes, 38\d mA$/ }).waitFor();
    expect(await table.locator('tbody tr').count()).toBe(2);
    await table.getByText('Left over').waitFor();
    await page.getByText('circuit of fuse F7').first().waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByText('NOT RECORDING', { exact: true }).waitFor();
    const band = (await page.locator('.not-recording').boundingBox())!;
    expect(band.width).toBeGreaterThan(1200);
    await watch.getByText('not recording', { exact: true }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('is clean to axe with its table, in light and dark, and fits a tablet and a phone', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    await goTo(page, 'test');
    await page.getByRole('region', { name: 'Table of pulled fuses' }).waitFor();
    expect([...(await themeFaults(page)), ...(await sizeFaults(page, SIZES))]).toEqual([]);
    await context.close();
  });
});

/** Waits until so many seconds of the virtual night were recorded, however fast this machine lets it pass. */
async function nightPasses(page: Page, seconds: number): Promise<void> {
  const clock = page.locator('.record-clock');
  const recordedS = async (): Promise<number> => (await clock.textContent())!.split(':').reduce((sum, part) => 60 * sum + Number(part), 0);
  const untilS = (await recordedS()) + seconds;
  await expect.poll(recordedS).toBeGreaterThanOrEqual(untilS);
}
