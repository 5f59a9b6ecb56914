import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, recordUntil, resize, startBuilt, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

const shown = (page: Page): Promise<{ fromS: number; toS: number }> =>
  page.locator('.chart-host').evaluate((host) => ({ fromS: Number((host as HTMLElement).dataset['from']), toS: Number((host as HTMLElement).dataset['to']) }));

/** Drags over the line of all time, by shares of its width. */
async function drag(page: Page, from: number, to: number): Promise<void> {
  const box = (await page.locator('.time-strip').boundingBox())!;
  await page.mouse.move(box.x + from * box.width, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + to * box.width, box.y + box.height / 2, { steps: 4 });
  await page.mouse.up();
}

describe('the chart, in a real browser', () => {
  const on = withDaemon(() => startBuilt('sim:side-step-jam'));

  it('shows a part of time by what happened, chosen on the line of all time', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    const name = (text: string | RegExp): ReturnType<Page['getByRole']> => page.locator('.time-names').getByRole('button', { name: text });
    await name(/^Last \d presses$/).waitFor();
    expect(await name('Now').getAttribute('aria-pressed')).toBe('true');
    // no row of lengths of time over the chart
    expect(await page.locator('.stage .segmented').count()).toBe(0);

    await name('This press').click();
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'This press' }).waitFor();
    // edge to edge: where the line of presses has its last one
    await expect.poll(async () => {
      const { fromS, toS } = await shown(page);
      return toS - fromS;
    }).toBeLessThan(8);

    await name('All').click();
    await expect.poll(async () => (await shown(page)).fromS).toBeLessThan(0.5);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('goes where its part on the line of all time is dragged, and on with the readings from the end', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    // a part that is not the whole: what is live may be all there is so far, and the whole cannot be moved
    await page.locator('.time-names').getByRole('button', { name: 'This press' }).click();
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'This press' }).waitFor();
    const [part, strip] = await Promise.all(['.time-shown', '.time-strip'].map(async (place) => (await page.locator(place).boundingBox())!));
    const middle = (part!.x + part!.width / 2 - strip!.x) / strip!.width;
    await drag(page, middle, middle / 2);
    await page.getByRole('button', { name: 'Back to live' }).waitFor();
    await expect.poll(() => page.locator('.time-name[aria-pressed="true"]').count()).toBe(0);
    // the last move of the drag has been drawn
    await expect.poll(async () => (await shown(page)).fromS - (await shown(page)).fromS).toBe(0);
    const before = await shown(page);
    await page.locator('.chart-host').focus();
    await page.keyboard.press('Shift+ArrowRight');
    await expect.poll(async () => (await shown(page)).fromS).toBeGreaterThan(before.fromS);
    await drag(page, 0.999, 1);
    await page.getByRole('button', { name: 'Pause', exact: true }).waitFor();
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'Now' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('keeps a measured stretch by name in a lane of the ribbon, with the trace and in its report', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await recordUntil(page, '.segment-run');
    await page.getByRole('link', { name: 'Open the recording' }).click();
    await page.locator('[data-finding]').first().waitFor();
    const chart = page.locator('.chart-host');
    await chart.focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('[');
    for (let i = 0; i < 20; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.press(']');
    const panel = page.getByRole('region', { name: 'Measured stretch' });
    for (const name of ['Length', 'Mean', 'Minimum', 'Maximum', 'Peak to peak', 'Charge', 'Volts', 'Frequency', 'Slope']) await panel.getByText(name, { exact: true }).waitFor();
    await panel.getByText(/^[−-]?[\d.]+ C \([−-]?[\d.]+ mAh\)$/).waitFor();
    await panel.getByLabel('Name of the stretch').fill('first second');
    await panel.getByRole('button', { name: 'Keep' }).click();
    // in a lane of the ribbon, with its figures: length, mean and charge
    await page.locator('.segment-stretch', { hasText: 'first second' }).waitFor();
    await expect.poll(() => page.locator('.segment-stretch').getAttribute('aria-label')).toMatch(/first second.* s.* m?A.* C \(.* mAh\)/);

    await page.reload();
    const list = page.getByRole('region', { name: 'Measured stretches' });
    await list.getByText('Peak to peak').waitFor();
    const [download] = await Promise.all([page.waitForEvent('download'), list.getByRole('button', { name: 'Save as CSV' }).click()]);
    expect(readFileSync(await download.path(), 'utf8')).toMatch(/^label,time_s,end_s,.*\n"first second",0,/);
    // the head of the page lies over what has been scrolled under it
    await page.evaluate(() => scrollTo(0, 0));
    expect(await axeFaults(page)).toEqual([]);
    // a page that may only look sees the figures, and can change nothing
    const looking = await visit(on.browser, on.daemon.url.replace(/#.*/, `#${on.daemon.viewToken}`));
    await goTo(looking.page, page.url().replace(/.*#\//, ''));
    await looking.page.locator('.segment-stretch').click();
    const theirs = looking.page.getByRole('region', { name: 'Measured stretch' });
    for (const name of ['Rename', 'Remove']) expect(await theirs.getByRole('button', { name }).isDisabled()).toBe(true);
    await theirs.getByRole('button', { name: 'Close' }).click();
    await looking.context.close();
    await page.locator('.segment-stretch').click();
    await panel.getByRole('button', { name: 'Remove' }).click();
    await page.locator('.segment-stretch').waitFor({ state: 'detached' });
    expect(faults).toEqual([]);
    await context.close();
  });

  it('holds a tapped moment for the next mark, and takes its height by hand and back', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await page.locator('.time-names').getByRole('button', { name: 'All', exact: true }).click();
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'All' }).waitFor();
    await page.getByRole('button', { name: 'Pause', exact: true }).click();
    const plot = (await page.locator('.u-over').boundingBox())!;
    await page.mouse.click(plot.x + plot.width / 4, plot.y + plot.height / 2);
    const { fromS, toS } = await shown(page);
    await page.getByPlaceholder('words for a mark').fill('here');
    await page.getByRole('button', { name: /^Mark at / }).click();
    const mark = page.locator('.segment-note').first();
    await mark.waitFor();
    const box = (await mark.boundingBox())!;
    expect(Math.abs(box.x - (plot.x + plot.width / 4))).toBeLessThan(4);
    expect(toS).toBeGreaterThan(fromS);
    // the same by a finger, and from there on by keys
    const touch = await context.newCDPSession(page);
    // where it is now: the page was scrolled to the button
    await page.locator('.u-over').scrollIntoViewIfNeeded();
    const here = (await page.locator('.u-over').boundingBox())!;
    const tapped = { x: here.x + here.width / 2, y: here.y + here.height / 2 };
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ ...tapped, id: 1 }] });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    const marked = async (words: string): Promise<number> => {
      await page.getByPlaceholder('words for a mark').fill(words);
      await page.getByRole('button', { name: /^Mark at / }).click();
      const made = page.locator(`.segment-note[aria-label*="${words}"]`);
      await made.waitFor();
      return (await made.boundingBox())!.x;
    };
    expect(Math.abs((await marked('touched')) - tapped.x)).toBeLessThan(4);
    await page.locator('.chart-host').focus();
    // a step is a hundredth of what is shown
    for (let i = 0; i < 10; i++) await page.keyboard.press('ArrowRight');
    expect(Math.abs((await marked('by keys')) - (tapped.x + 0.1 * plot.width))).toBeLessThan(5);

    await page.locator('.chart-height').scrollIntoViewIfNeeded();
    const axis = (await page.locator('.chart-height').boundingBox())!;
    await page.mouse.move(axis.x + axis.width / 2, axis.y + axis.height / 2);
    await page.mouse.down();
    await page.mouse.move(axis.x + axis.width / 2, axis.y + axis.height / 4, { steps: 3 });
    await page.mouse.up();
    await page.getByRole('button', { name: 'Auto height' }).click();
    await page.getByRole('button', { name: 'Auto height' }).waitFor({ state: 'detached' });
    // two fingers on the axis, spread from a fifth of its height to three fifths
    const at = (share: number): { x: number; y: number } => ({ x: axis.x + axis.width / 2, y: axis.y + share * axis.height });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ ...at(0.4), id: 1 }, { ...at(0.6), id: 2 }] });
    for (const by of [0.05, 0.1, 0.2]) await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: [{ ...at(0.4 - by), id: 1 }, { ...at(0.6 + by), id: 2 }] });
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await page.getByRole('button', { name: 'Auto height' }).click();
    await page.getByRole('button', { name: 'Auto height' }).waitFor({ state: 'detached' });
    await page.locator('.chart-host').focus();
    await page.keyboard.press('.');
    await page.getByRole('button', { name: 'Auto height' }).waitFor();
    await page.keyboard.press('0');
    await page.getByRole('button', { name: 'Auto height' }).waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    await page.locator('.tool[aria-pressed="true"]', { hasText: 'Log' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('shows the figures over the whole screen, as high as three metres ask for, on a tablet and on a phone on its side and upright', async () => {
    // ISO 9241-303: letters of 20 to 22 minutes of arc are read without effort; at 3 m that is 3 tan(22') = 19 mm. A CSS pixel is 1/96 inch.
    const NEEDED_PX = (3000 * Math.tan((22 / 60) * (Math.PI / 180)) * 96) / 25.4;
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    // a tablet, a phone on its side and upright, and the narrowest phone that is sold
    for (const size of [{ width: 1180, height: 820 }, { width: 844, height: 390 }, { width: 390, height: 844 }, { width: 360, height: 740 }]) {
      await resize(page, size);
      await page.locator('.big-current .big-digits').waitFor();
      await page.getByRole('button', { name: 'Large' }).click();
      for (const figure of [page.locator('.wide-current'), page.locator('.wide-voltage')]) {
        await figure.waitFor();
        // height of a figure: about 0.7 of the letters' size in common faces
        const figurePx = 0.7 * Number.parseFloat(await figure.evaluate((element) => getComputedStyle(element).fontSize));
        expect(figurePx, `${size.width} px`).toBeGreaterThan(NEEDED_PX);
        // with the widest reading there is: sign, two places before the point, two behind
        expect(await figure.evaluate((element) => {
          const digits = [...element.childNodes].find((node) => node.nodeType === Node.TEXT_NODE)!;
          const now = digits.textContent;
          digits.textContent = '88.88';
          const [box, all] = [element.getBoundingClientRect(), document.createRange()];
          all.selectNodeContents(element);
          const ink = all.getBoundingClientRect();
          digits.textContent = now;
          return ink.left < Math.max(0, box.left) || ink.right > Math.min(innerWidth, box.right) || ink.bottom > innerHeight;
        }), `${size.width} px`).toBe(false);
      }
      expect(await axeFaults(page)).toEqual([]);
      await page.getByRole('button', { name: 'Back', exact: true }).click();
      await page.locator('.wide-current').waitFor({ state: 'detached' });
    }
    expect(faults).toEqual([]);
    await context.close();
  });
});
