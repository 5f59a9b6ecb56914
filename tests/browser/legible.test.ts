import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, overflow, recordUntil, resize, startBuilt, visit, type RunningDaemon } from './browser.ts';
import { withDaemon } from './with-browser.ts';

/** Controls whose words do not fit into them. */
function clipped(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button:not(.segment), .tool, .button, .badge')]
      .filter((one) => one.offsetParent !== null && one.scrollWidth > one.clientWidth + 1)
      .map((one) => `${one.className}: ${one.textContent}`),
  );
}

/** A saved job in which something is written in every part; its id. */
async function filledJob({ port, token }: RunningDaemon): Promise<string> {
  const ask = async (method: string, path: string, body: object): Promise<{ id: string }> => {
    const answer = await fetch(`http://127.0.0.1:${port}/api/${path}`, { method, headers: { Authorization: `Bearer ${token}`, Origin: `http://127.0.0.1:${port}`, 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
    expect(answer.status, path).toBe(200);
    return (await answer.json()) as { id: string };
  };
  const job = await ask('POST', 'jobs', {
    depot: 'Mill Lane depot', vehicle: 'Minibus 4, powered side step', complaint: 'Hardly moves', circuit: 'side step motor, F12', fuse_rating_a: 15, technician: 'A. Technician', note: 'Seen twice', plate: 'MT 44',
    vin: 'AMPTRA1L000000044', odometer_km: 187_250, customer: 'Millbrook transport',
  });
  await ask('PUT', `jobs/${job.id}/evidence`, {
    signs: { 'moves-a-little': 'yes', 'one-way-only': 'no', 'moves-by-hand': 'no' }, sign_words: { 'moves-a-little': 'every morning' },
    readings: [{ point: 'battery', v: 12.6, while: 'pressed' }, { point: 'fuse-out', v: 12.4, while: 'pressed' }, { point: 'motor-plus', v: 9.8, while: 'pressed' }, { point: 'motor-minus', v: 0.1, while: 'pressed' }],
    fuse_survey: { battery_a: 0.42, fuses: [{ label: 'F7', type: 'ato', rating_a: 10, mv: 3.1, ohm: null }, { label: 'F12', type: 'ato', rating_a: 15, mv: 0.1, ohm: null }] },
    repair: { at: '2026-11-25T09:00:00Z', cause: 'mechanism', work: 'Slides cleaned and greased', part: 'guide 4711' },
  });
  await ask('POST', `jobs/${job.id}/notes`, { text: 'Customer says it was worse in the cold' });
  return job.id;
}

describe('the pages, for eyes, hands and screens of every kind', () => {
  const on = withDaemon(() => startBuilt('sim:side-step-jam'));

  it('keep their width and their words with text of twice the size (WCAG 1.4.4)', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    await page.locator('.time-names').getByRole('button', { name: 'This press' }).waitFor();
    // the widest thing on the card: what the bounds of a figure are made of, opened
    await page.locator('.card .uncertainty summary').first().click();
    await page.locator('.card .uncertainty[open]').first().waitFor();
    const job = await filledJob(on.daemon);
    await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
    const found: string[] = [];
    const parts = ['', '/volts', '/reversal', '/fuses', '/repair', '/story'].map((part) => `job/${job}${part}`);
    for (const screen of ['setup', 'test', 'traces', 'job', 'job/new', ...parts, 'read', 'compare', 'compare/many', 'compare/known-good', 'prove', 'tablets', 'calibrate']) {
      await goTo(page, screen);
      if (screen.startsWith(`job/${job}`)) await page.locator('.parts a[aria-current="page"]').waitFor();
      const wider = await overflow(page);
      if (wider > 0) found.push(`${screen}: ${wider} px too wide`);
      found.push(...(await clipped(page)).map((one) => `${screen}: ${one}`));
    }
    expect(found).toEqual([]);
    await context.close();
  });

  it('keep them on the page of a trace and in the questions about a file, too', async () => {
    const { page, context } = await visit(on.browser, on.daemon.url);
    await recordUntil(page, '.segment');
    await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
    await page.getByRole('link', { name: 'Open the recording' }).click();
    await page.locator('[data-finding]').first().waitFor();
    const found: string[] = [];
    const look = async (view: string): Promise<void> => {
      for (const size of [{ width: 1280, height: 800 }, { width: 820, height: 1180 }]) {
        await resize(page, size);
        const wider = await overflow(page);
        if (wider > 0) found.push(`${view}, ${size.width} px: ${wider} px too wide`);
        found.push(...(await clipped(page)).map((one) => `${view}, ${size.width} px: ${one}`));
      }
    };
    await page.getByText('Export', { exact: true }).click();
    await look('trace');
    await goTo(page, 'traces');
    await page.getByLabel('File to import').setInputFiles({ name: 'meter.csv', mimeType: 'text/csv', buffer: Buffer.from('Zeit;Kanal 1;Kanal 2\n0;0,5;12,6\n1;0,7;12,6\n') });
    await page.getByRole('form', { name: 'How to read the file' }).waitFor();
    await look('import');
    expect(found).toEqual([]);
    await context.close();
  });

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
      });
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
