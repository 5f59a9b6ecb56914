import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, recordUntil, startBuilt, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

describe('the pages, for eyes, hands and screens of every kind', () => {
  const on = withDaemon(() => startBuilt('sim:side-step-jam'));

  it('show the finding, and every figure with its unit inside its plate, without scrolling on a tablet and on a phone', async () => {
    for (const size of [{ width: 820, height: 1180 }, { width: 390, height: 844 }]) {
      const { page, context } = await visit(on.browser, on.daemon.url, size);
      const finding = page.locator('.finding-line');
      await finding.waitFor();
      const box = (await finding.boundingBox())!;
      // on a phone the steps lie over the lowest 66 px
      expect(box.y + box.height, `${size.width} px`).toBeLessThan(size.height - 66);
      await page.evaluate(() => {
        // the widest reading there is: sign, two places before the point, two behind
        for (const digits of document.querySelectorAll('.big-digits')) digits.textContent = '88.88';
        for (const sign of document.querySelectorAll('.big-sign')) sign.textContent = '−';
      });
      const overlaps = await page.evaluate(() =>
        [...document.querySelectorAll('.big-value')].filter((value) => {
          const ink = (part: string): DOMRect => {
            const range = document.createRange();
            range.selectNodeContents(value.querySelector(part)!);
            return range.getBoundingClientRect();
          };
          return ink('.big-sign').right > ink('.big-digits').left + 0.5 || ink('.big-digits').right > ink('.big-unit').left + 0.5;
        }).length,
      );
      expect(overlaps, `${size.width} px: a sign or a unit on the digits`).toBe(0);
      const out = await page.evaluate(() =>
        [...document.querySelectorAll('.big-figure')].filter((plate) => (plate.querySelector('.big-unit')?.getBoundingClientRect().right ?? 0) > plate.getBoundingClientRect().right).length,
      );
      expect(out, `${size.width} px`).toBe(0);
      await context.close();
    }
  });

  it('keep the contrast of what is chosen under the pointer, and a frame round it in the colours of the system', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    const chosen = page.locator('.time-name[aria-pressed="true"]');
    await chosen.waitFor();
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    for (const one of [chosen, page.getByRole('button', { name: 'Log', exact: true })]) {
      await one.hover();
      expect((await axeFaults(page)).filter((fault) => fault.startsWith('color-contrast'))).toEqual([]);
    }
    await page.emulateMedia({ forcedColors: 'active' });
    const frame = (selector: string): Promise<string> => page.locator(selector).first().evaluate((element) => `${getComputedStyle(element).outlineStyle} ${getComputedStyle(element).borderTopStyle}`);
    expect(await frame('.time-name[aria-pressed="true"]')).toContain('solid');
    expect(await frame('.time-shown')).toContain('solid');
    await page.locator('.segment').first().waitFor();
    // segments of the live ribbon come and go
    await expect.poll(() => frame('.segment')).toContain('solid');
    await context.close();
  });

  it('say of a made-up trace that it is one: in the list, on its page, in its picture and in its report', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await recordUntil(page, '.segment');
    await goTo(page, 'traces');
    const row = page.locator('.trace-row').first();
    await row.getByText('virtual vehicle').waitFor();
    await row.click();
    await page.locator('.trace-title').getByText('Virtual vehicle: not a measurement').waitFor();
    await page.getByText('Export', { exact: true }).click();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: /SVG/ }).click()]);
    expect(readFileSync(await download.path(), 'utf8')).toContain(', virtual vehicle');
    const path = page.url().replace(/.*#\/trace\//, '');
    const answer = await fetch(new URL(`/api/report?traces=${path}&for=file`, on.daemon.url.replace(/#.*/, '')), { headers: { Authorization: `Bearer ${on.daemon.token}` } });
    expect(answer.status).toBe(200);
    expect(await answer.text()).toContain('made up by a virtual vehicle');
    expect(faults).toEqual([]);
    await context.close();
  });
});
