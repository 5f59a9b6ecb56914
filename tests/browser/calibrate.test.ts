import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { ActuationResult } from '../../src/core/analysis/results.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import { axeFaults, goTo, newFolder, resize, SIZES, sizeFaults, startBuilt, visit, type RunningDaemon } from './browser.ts';
import { withBrowser } from './with-browser.ts';
import { lineLogger, type LineLogger } from './logger-lines.ts';

/** What a self-built logger prints: 30 mA with nothing flowing, and 4.88 A where 5 A flow. */
const ZERO_A = 0.03;
const READS_A = 4.88;
const FLOWS_A = 5;
const SCALE = FLOWS_A / (READS_A - ZERO_A);
const EVERY_MS = 10;

/** The level with a little noise, so that it looks like a sensor. */
function print(logger: LineLogger, level: number): void {
  let turn = 0;
  logger.print(() => (level + 0.002 * Math.sin(2.4 * turn++)).toFixed(4), EVERY_MS);
}

async function recordedFor(page: Page, seconds: number): Promise<void> {
  await page.waitForFunction((least) => {
    const [minutes = 0, rest = 0] = (document.querySelector('.record-clock')?.textContent ?? '').split(':').map(Number);
    return 60 * minutes + rest >= least;
  }, seconds);
}

describe('a self-built logger that is calibrated, in a real browser on a real daemon', () => {
  const on = withBrowser();

  it('goes from nothing to a trace, recorded before, that is corrected by it, and back', async () => {
    const dataDir = newFolder();
    const logger = await lineLogger();
    print(logger, ZERO_A);
    const daemon = await startBuilt(`serial:${logger.path}`, { dataDir });
    const { page, context, faults } = await visit(on.browser, daemon.url);

    // a press, recorded before anything is known of the logger
    await page.locator('.big-current .big-digits').waitFor();
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await recordedFor(page, 3);
    print(logger, READS_A);
    await recordedFor(page, 7);
    print(logger, ZERO_A);
    await recordedFor(page, 10);
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByRole('link', { name: 'Open the recording' }).waitFor();
    const [view] = await ask<TraceView[]>(daemon, '/api/traces');
    const samples = join(dataDir, 'jobs', view!.jobId, view!.record.id, 'samples.arrows');
    const digest = (): string => createHash('sha256').update(readFileSync(samples)).digest('hex');
    const asRecorded = digest();
    const runA = async (): Promise<number> => {
      const { actuations } = await ask<ActuationResult>(daemon, `/api/traces/${view!.jobId}/${view!.record.id}/analysis?test=actuation`);
      return actuations[0]!.run?.median_a ?? actuations[0]!.stalls[0]!.level_a;
    };
    expect(await runA()).toBeCloseTo(READS_A - ZERO_A, 2);

    await goTo(page, 'setup');
    await page.getByRole('link', { name: 'Calibrate this logger' }).click();
    await page.locator('.logger-name').getByText(logger.path).waitFor();
    await page.getByLabel('What you call it').fill('grey box, 30 A clamp');
    await page.getByText('Step 2 is open: read the zero.').waitFor();
    await page.locator('[data-steady="steady"]').waitFor();
    await page.getByRole('button', { name: 'Use as the zero' }).click();
    await page.getByLabel('Known value, by the meter').fill(String(FLOWS_A));
    await page.getByLabel('The known value may be off by').fill('0.8');
    print(logger, READS_A);
    await page.locator('[data-steady="steady"] .steady-value', { hasText: /^4\.88/ }).waitFor();
    await page.getByRole('button', { name: 'Use the reading' }).click();
    await page.getByLabel('Done by').fill('R. Vane');
    await page.getByLabel('Temperature').fill('21');
    await page.getByLabel('Temperature').blur();
    // 0.8 % over the root of three, 95 % (JCGM 100:2008, 4.3.7)
    const shown = /Scale (\S+) ± (\S+); zero (\S+) ± /.exec((await page.locator('[data-preview]').textContent()) ?? '')!;
    expect(Number(shown[1])).toBeCloseTo(SCALE, 3);
    expect(Number(shown[2])).toBeCloseTo((1.96 * SCALE * 0.008) / Math.sqrt(3), 3);
    expect(Number(shown[3])).toBeCloseTo(ZERO_A, 3);
    await page.evaluate(() => scrollTo(0, 0));
    expect(await axeFaults(page)).toEqual([]);
    expect(await sizeFaults(page, SIZES)).toEqual([]);
    await resize(page, SIZES[0]!);
    await page.getByRole('button', { name: 'Save this calibration' }).click();
    const kept = page.getByRole('region', { name: 'Calibrations of this logger' });
    await kept.locator('li[data-holds="true"]', { hasText: 'R. Vane' }).waitFor();
    expect(await kept.textContent()).toContain('Due again');
    // of an older trace a person decides
    expect(await runA()).toBeCloseTo(READS_A - ZERO_A, 2);

    const own = page.getByRole('region', { name: 'Traces of this logger' });
    await own.getByRole('button', { name: /^Apply the latest calibration to / }).click();
    await own.locator('[data-corrected="true"]').waitFor();
    expect(await runA()).toBeCloseTo(FLOWS_A, 2);
    await own.getByRole('link').first().click();
    await page.getByRole('heading', { name: 'Calibration' }).waitFor();
    await page.locator('[data-corrected="true"]').waitFor();
    // the scale, known to 0.8 % over the root of three, now is part of the figure's uncertainty
    await page.locator('.card .uncertainty summary').first().click();
    await page.locator('.card .uncertainty[open] li', { hasText: 'gain of the sensor' }).first().waitFor();
    await page.getByRole('button', { name: /^Withdraw the calibration of / }).click();
    await page.locator('[data-corrected="false"]').waitFor();
    expect(await runA()).toBeCloseTo(READS_A - ZERO_A, 2);
    expect(digest()).toBe(asRecorded);
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
    logger.close();
  });
});

/** The API as the page asks it. */
async function ask<Answer>({ port, token }: RunningDaemon, path: string): Promise<Answer> {
  const response = await fetch(`http://127.0.0.1:${port}${path}`, { headers: { Authorization: `Bearer ${token}` } });
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
  return (await response.json()) as Answer;
}
