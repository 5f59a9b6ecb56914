import { join } from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { recording } from '../daemon/store/kit.ts';
import { goTo, newFolder, QUIET, startBuilt, visit } from './browser.ts';
import { lineLogger } from './logger-lines.ts';
import { withBrowser } from './with-browser.ts';

/** What the chart writes on its canvas, which no page of text holds. */
async function listen(page: Page, context: BrowserContext): Promise<void> {
  await context.addInitScript(() => {
    const written = new Set<string>();
    Object.assign(window, { written });
    const write = CanvasRenderingContext2D.prototype.fillText;
    CanvasRenderingContext2D.prototype.fillText = function (text: string, ...rest: [number, number]) {
      written.add(text);
      write.call(this, text, ...rest);
    };
  });
  await page.reload();
  await page.locator('.big-current .big-digits').waitFor();
}

/** The words of the next drawings alone. */
async function drawnAnew(page: Page): Promise<string[]> {
  await page.evaluate(() => (window as unknown as { written: Set<string> }).written.clear());
  await page.waitForFunction(() => (window as unknown as { written: Set<string> }).written.size > 3);
  return page.evaluate(() => [...(window as unknown as { written: Set<string> }).written]);
}

describe('what the live chart writes, in a real browser', () => {
  const on = withBrowser();

  it('has a number at every power of ten of its log scale', async () => {
    const daemon = await startBuilt('sim:side-step-jam');
    const { page, context, faults } = await visit(on.browser, daemon.url);
    await listen(page, context);
    await page.locator('.segment-stall').first().waitFor();
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    // 14 A of a stall: three decades on either side of zero
    await expect.poll(() => drawnAnew(page)).toEqual(expect.arrayContaining(['10 A', '1 A', '100 mA', '0 A', '−100 mA', '−1 A']));
    expect(await drawnAnew(page)).not.toContain('0 mA');
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
  });

  it('counts moments from where the recording began, as its card, its marks and its trace do', async () => {
    const daemon = await startBuilt('sim:side-step-jam');
    const { page, context, faults } = await visit(on.browser, daemon.url);
    await listen(page, context);
    // live time has gone on before anything is recorded; a recording takes along what went shortly before it
    await page.waitForFunction(() => Number(document.querySelector<HTMLElement>('.chart-host')?.dataset['to']) > 15);
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    // what was read before it goes with it: the card is of the recording once a press of its own, every 8.5 s, is whole
    await page.waitForFunction(() => /^(0:(1[2-9]|[2-5])|[1-9])/.test(document.querySelector('.record-clock')?.textContent ?? ''));
    const because = page.locator('.card-because').getByText(/^Stalled from [\d.]+ s/).first();
    await because.waitFor();
    const saidS = Number(/from ([\d.]+) s/.exec((await because.textContent())!)![1]);
    const names = page.locator('.time-names');
    await names.getByRole('button', { name: 'Recording', exact: true }).click();
    const fromS = async (): Promise<number> => Number(await page.locator('.chart-host').getAttribute('data-from'));
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'Recording' }).waitFor();
    await expect.poll(fromS).toBeGreaterThan(5);
    await page.getByRole('button', { name: 'Pause', exact: true }).click();
    const startS = await fromS();
    await page.locator('.chart-host').focus();
    await page.keyboard.press('+');
    await page.keyboard.press('-');
    const moments = (await drawnAnew(page)).filter((text) => / s$|^−?\d+:\d\d/.test(text)).map((text) => (text.includes(':') ? Number(text.split(':')[0]) * 60 + Number(text.split(':')[1]) : Number.parseFloat(text.replace('−', '-'))));
    expect(Math.min(...moments.filter((atS) => atS >= 0))).toBeLessThan(1);
    expect(Math.max(...moments)).toBeLessThan(startS + 200);
    // where the card says that it stalled, the ribbon has its segment: a tap there is offered as that moment for a mark
    const plot = (await page.locator('.u-over').boundingBox())!;
    const shown = await page.locator('.chart-host').evaluate((host: HTMLElement) => ({ fromS: Number(host.dataset['from']), toS: Number(host.dataset['to']) }));
    const wantedPx = plot.x + ((startS + saidS - shown.fromS) / (shown.toS - shown.fromS)) * plot.width;
    const stalls = await page.locator('.segment-stall').evaluateAll((all) => all.map((one) => one.getBoundingClientRect().left));
    expect(Math.min(...stalls.map((px) => Math.abs(px - wantedPx)))).toBeLessThan(4);
    await page.mouse.click(wantedPx, plot.y + plot.height / 2);
    const offered = (await page.getByRole('button', { name: /^Mark at / }).textContent())!.replace('Mark at ', '');
    const offeredS = offered.includes(':') ? Number(offered.split(':')[0]) * 60 + Number(offered.split(':')[1]) : Number.parseFloat(offered);
    // within what a pixel is worth, and the tenth of a second to which a mark is written
    expect(Math.abs(offeredS - saidS)).toBeLessThan((shown.toS - shown.fromS) / plot.width + 0.1);
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
  });

  it('begins its scale anew with another test: the amperes of a motor do not flatten the milliamps of the night', async () => {
    const logger = await lineLogger();
    logger.print(() => `${(13 + 0.05 * Math.random()).toFixed(3)},12.4`, 20);
    const daemon = await startBuilt(`serial:${logger.path}`);
    const { page, context, faults } = await visit(on.browser, daemon.url);
    await listen(page, context);
    await expect.poll(() => drawnAnew(page)).toContain('10 A');
    logger.print(() => `${(0.02 + 0.001 * Math.random()).toFixed(4)},12.6`, 20);
    await page.locator('.big-current .big-digits').getByText(/^0\.02/).waitFor();
    await goTo(page, 'setup');
    await page.getByRole('radio', { name: /^Key-off drain/ }).check();
    await goTo(page, 'test');
    await page.locator('.time-name[aria-pressed="true"]', { hasText: 'All' }).waitFor();
    await expect.poll(async () => (await drawnAnew(page)).filter((text) => text.endsWith(' A'))).toEqual([]);
    expect((await drawnAnew(page)).some((text) => /^\d+ mA$/.test(text))).toBe(true);
    // a limit more than twice as high does not set the scale: its name stands at the edge
    expect(await drawnAnew(page)).toContain('limit 50.0 mA, higher up');
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
    logger.close();
  });

  it('says how many marks fall together, in the ribbon and to who only hears it, and takes them apart when it is asked', async () => {
    const dataDir = newFolder();
    const record = { ...emptyTraceRecord('2026-11-25T08-00-00Z-winch', '2026-11-25T08:00:00.000Z', 'test'), title: 'Winch', test: 'actuation' as const };
    const writer = await TraceWriter.create(join(dataDir, 'jobs', 'unfiled', record.id), record, { durable: false });
    writer.append(recording(6000, 100, 5));
    // a fifth of a second apart, on a chart of a minute
    for (const [i, label] of ['creaks', 'slow', 'stops'].entries()) await writer.mark({ timeS: 30 + 0.2 * i, kind: 'note', label });
    await writer.finish('stopped');
    const daemon = await startBuilt(QUIET, { dataDir });
    const { page, context, faults } = await visit(on.browser, daemon.url);
    await goTo(page, `trace/unfiled/${record.id}`);
    const note = page.locator('.segment-note');
    await note.getByText('×3').waitFor();
    expect(await note.count()).toBe(1);
    expect(await note.getAttribute('aria-label')).toMatch(/3 of them/);
    await note.click();
    await expect.poll(() => note.count()).toBe(3);
    await note.filter({ hasText: 'slow' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
  });
});
