import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { JOB, writeJob, writeTrace } from '../daemon/prove-stand.ts';
import { axeFaults, goTo, newFolder, overflow, QUIET, resize, startBuilt, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

const MOTOR = [`${JOB}/2026-11-25T07-05-00Z-before`, `${JOB}/2026-11-25T09-05-00Z-after`];
const GOOD = [1, 2, 3].map((number) => `${JOB}/2026-11-20T0${number}-05-00Z-good`);
const NIGHT = [`${JOB}/2026-11-24T07-05-00Z-parked`, `${JOB}/2026-11-24T09-05-00Z-parked`];

describe('comparing and proving, in a real browser on a real daemon', () => {
  const on = withDaemon(async () => {
    const dataDir = newFolder();
    await writeJob(dataDir);
    const name = (key: string): string => key.split('/')[1]!;
    await writeTrace(dataDir, name(MOTOR[0]!), 'side-step-jam', { title: 'Before the repair' });
    await writeTrace(dataDir, name(MOTOR[1]!), 'side-step-healthy', { title: 'After the repair' });
    await writeTrace(dataDir, name(NIGHT[0]!), 'library-bus-heater', { title: 'Parked, before' });
    await writeTrace(dataDir, name(NIGHT[1]!), 'minibus-sleeps', { title: 'Parked, after' });
    for (const [i, key] of GOOD.entries()) await writeTrace(dataDir, name(key), 'side-step-healthy', { title: `Good ${i + 1}` }, undefined, 40 + i);
    return startBuilt(QUIET, { dataDir });
  });

  it('lay the two newest traces of a job on each other, and say what changed', async () => {
    const { page, context, faults } = await patient(on.browser, on.daemon.url);
    await goTo(page, 'compare');
    await page.locator('[data-finding="repaired"]').waitFor();
    // two directions, each large with its difference, and three pairs small
    await page.locator('.overlay > .overlay-plot').nth(3).waitFor();
    expect(await page.locator('.overlay > .overlay-plot').count()).toBe(4);
    expect(await page.locator('.multiple .overlay-plot').count()).toBe(6);
    const third = page.getByRole('group', { name: 'All pairs, forward' }).getByRole('button', { name: 'Pair 3' });
    await third.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('img', { name: 'Forward 3: current before and after, aligned at switch-on' }).waitFor();
    expect(await page.locator('table.figures .is-moved').count()).toBeGreaterThan(0);
    expect(await axeFaults(page)).toEqual([]);
    await resize(page, { width: 390, height: 844 });
    await page.waitForFunction(() => document.querySelector('.overlay-plot')!.clientWidth < 390);
    expect(await overflow(page)).toBe(0);

    const judged = (): Promise<string | null> => page.getByRole('row', { name: /^time moving, reverse/ }).getByRole('cell').last().textContent();
    expect(await judged()).toBe('higher');
    await page.getByRole('combobox', { name: 'Same within' }).selectOption('0.2');
    await page.locator('.compared').waitFor({ state: 'detached' });
    await page.locator('[data-finding="repaired"]').waitFor();
    expect(await judged()).toBe('higher');

    await page.getByRole('combobox', { name: 'After', exact: true }).selectOption(NIGHT[1]!);
    expect(await page.getByRole('alert').textContent()).toContain('two traces of the same test');
    await page.getByRole('combobox', { name: 'Before', exact: true }).selectOption(NIGHT[0]!);
    await page.locator('[data-finding="repaired"]').waitFor();
    await page.getByRole('img', { name: 'Current of both nights, from the start of each recording' }).waitFor();
    expect(await overflow(page)).toBe(0);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('set all traces of a job side by side, the one that stands out first, and make a page of them', async () => {
    const { page, context, faults } = await patient(on.browser, on.daemon.url);
    await goTo(page, 'compare/many');
    await page.locator('[data-finding]').waitFor();
    // the newest trace's job and test are offered; another test among them is named before the daemon is asked
    await page.getByRole('checkbox', { name: 'Parked, after' }).check();
    expect(await page.getByRole('alert').textContent()).toContain('Choose traces of one test');
    await page.getByRole('checkbox', { name: 'Parked, after' }).uncheck();
    await page.locator('[data-finding="one-stands-out"]').waitFor();
    expect(await page.locator('li.multiple.is-odd').first().textContent()).toContain('Before the repair');
    // of each direction: what reads otherwise than most is never called like the others
    const ways = await page.locator('ul.multiples').evaluateAll((all) => all.map((way) => [...way.querySelectorAll('li.multiple')].map((one) => ({
      finding: one.querySelector('.fine')?.textContent?.split(', ').at(-1) ?? '', why: one.querySelector('.multiple-why')?.textContent ?? '',
    }))));
    expect(ways.flat().length).toBeGreaterThan(4);
    for (const way of ways) {
      const usual = way.map(({ finding }) => finding).filter((finding, _, all) => 2 * all.filter((one) => one === finding).length > all.length);
      for (const { finding, why } of way) if (why.includes('like the others') && !why.includes('unlike')) expect(usual).toContain(finding);
    }
    expect(await axeFaults(page)).toEqual([]);
    await resize(page, { width: 390, height: 844 });
    expect(await overflow(page)).toBe(0);
    await page.getByRole('link', { name: 'Make the page for these' }).click();
    await page.locator('.report-sheet').getByText('One stands out', { exact: true }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('learn limits from known-good traces, place another against them, and take them over for the next set-up', async () => {
    const { page, context, faults } = await patient(on.browser, on.daemon.url);
    await goTo(page, 'compare/known-good');
    for (const number of [1, 2, 3]) await page.getByRole('checkbox', { name: `Good ${number}` }).check();
    await page.getByText('with few, little is known about how good vehicles differ').waitFor();
    await page.getByRole('button', { name: 'Learn limits' }).click();
    await page.locator('[data-place]').waitFor();
    await page.getByRole('combobox', { name: 'Trace to compare' }).selectOption(MOTOR[1]!);
    await page.locator('[data-place="good"]').waitFor();
    await page.getByRole('button', { name: 'Use for the next set-up' }).click();
    expect(await axeFaults(page)).toEqual([]);
    await resize(page, { width: 390, height: 844 });
    expect(await overflow(page)).toBe(0);
    const range = /runs (\S+) A to (\S+) A/.exec((await page.locator('.set-list').textContent())!)!;
    await page.getByRole('link', { name: 'To set-up' }).click();
    await page.waitForFunction(() => document.querySelector<HTMLInputElement>('input[inputmode="decimal"]')?.value !== '');
    const fields = await Promise.all(['Usually runs from', 'up to'].map((label) => page.getByLabel(label).first().inputValue()));
    fields.forEach((field, i) => expect(Number(field)).toBeCloseTo(Number(range[i + 1]), 1));
    expect(faults).toEqual([]);
    await context.close();
  });

  it('hand a whole job over as one zip, which another amptrail takes in with all its traces', async () => {
    const { page, context, faults } = await patient(on.browser, on.daemon.url);
    await goTo(page, `job/${JOB}`);
    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Export the job (zip)' }).click();
    const zip = await (await saving).path();
    expect(readFileSync(zip).subarray(0, 2).toString()).toBe('PK');
    const second = await startBuilt(QUIET, { dataDir: newFolder() });
    const there = await patient(on.browser, second.url);
    await goTo(there.page, 'traces');
    await there.page.getByLabel('File to import').setInputFiles({ name: 'job.zip', mimeType: 'application/zip', buffer: readFileSync(zip) });
    await there.page.waitForFunction(() => location.hash.startsWith('#/trace/'));
    await goTo(there.page, 'traces');
    await there.page.locator('.trace-list').getByText('Before the repair').waitFor();
    expect(await there.page.locator('.trace-list > li').count()).toBe(7);
    expect([...faults, ...there.faults]).toEqual([]);
    await there.context.close();
    await second.close();
    await context.close();
  });

  it('show the page to hand over, and save it as one file that opens by itself', async () => {
    const { page, context, faults } = await patient(on.browser, on.daemon.url, { width: 390, height: 844 }, { locale: 'en-GB', timezoneId: 'Pacific/Pago_Pago' });
    await goTo(page, 'prove');
    await page.locator('.report-sheet .outcome').waitFor();
    // recorded at 07:05 UTC, which at UTC-11 is the evening before: the customer reads the clock of the workshop, the file UTC
    await page.locator('.report-sheet').getByText(/Dashed line: before, 24 November 2026, 20:05\./).waitFor();
    // the workshop types its own heading once, with a logo; what is no picture is refused
    await page.getByText('Your heading').click();
    await page.getByLabel('Name of the workshop').fill('Depot workshop Mill Lane\n14 Mill Lane');
    await page.getByRole('button', { name: 'Save the heading' }).click();
    await page.locator('.report-sheet .letterhead').getByText('14 Mill Lane').waitFor();
    const logo = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAEklEQVR4nGP8z4APMOGVHbHSAEEsAQ9FBRXuAAAAAElFTkSuQmCC', 'base64');
    await page.getByLabel('Logo file').setInputFiles({ name: 'logo.png', mimeType: 'image/png', buffer: logo });
    await page.waitForFunction(() => (document.querySelector('.report-sheet')?.shadowRoot?.querySelector('.letterhead img') as HTMLImageElement | null)?.naturalWidth === 8);
    await page.getByLabel('Logo file').setInputFiles({ name: 'logo.png', mimeType: 'image/png', buffer: Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>') });
    await page.getByRole('alert').getByText('a JPEG, PNG or WebP file is needed').waitFor();
    expect(await overflow(page)).toBe(0);
    expect(await axeFaults(page)).toEqual([]);
    await page.getByText('For the file').click();
    await page.locator('.report-sheet').getByText('Not tested').waitFor();
    await page.locator('.report-sheet').getByText(/2026-11-25 07:05 UTC/).first().waitFor();
    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).click();
    const saved = readFileSync(await (await saving).path(), 'utf8');
    expect(saved).toMatch(/^<!doctype html>/);
    expect(saved).not.toMatch(/<script|https?:/i);
    const savingJson = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as JSON' }).click();
    const json = JSON.parse(readFileSync(await (await savingJson).path(), 'utf8')) as { audience: string; traces: { record: { sha256: string } }[] };
    expect(json.audience).toBe('file');
    expect(json.traces.map(({ record }) => record.sha256)).toEqual([expect.stringMatching(/^[0-9a-f]{64}$/), expect.stringMatching(/^[0-9a-f]{64}$/)]);
    await page.emulateMedia({ media: 'print' });
    expect(await besideTheSheet(page)).toEqual([]);
    await page.emulateMedia({ media: 'screen' });
    expect((await besideTheSheet(page)).length).toBeGreaterThan(3);
    // the refused logo is written into the console by the browser itself
    expect(faults.filter((fault) => !fault.includes('422'))).toEqual([]);
    await context.close();
  });

  it('print on one page for the customer and at most two for the file, on A4 and on Letter', async () => {
    const page = await on.browser.newPage();
    for (const traces of [MOTOR, NIGHT, MOTOR.slice(0, 1), [...GOOD, MOTOR[0]!]]) {
      for (const [audience, most] of traces.length === 1 ? ([['file', 1]] as const) : ([['customer', 1], ['file', 2]] as const)) {
        const answer = await fetch(`http://127.0.0.1:${on.daemon.port}/api/report?traces=${traces.join(',')}&for=${audience}`, { headers: { Authorization: `Bearer ${on.daemon.token}` } });
        await page.setContent(await answer.text());
        for (const format of ['A4', 'Letter']) {
          const pages = pagesOf(await page.pdf({ format }));
          expect(pages, `${traces.join()} ${audience} ${format}`).toBeGreaterThanOrEqual(1);
          expect(pages, `${traces.join()} ${audience} ${format}`).toBeLessThanOrEqual(most);
        }
        expect(await cutOff(page), `${traces.join()} ${audience}`).toEqual([]);
      }
    }
    await page.close();
  });
});

/** Comparing is long work done one piece after the other: on a busy machine it takes its time. */
async function patient(...args: Parameters<typeof visit>): ReturnType<typeof visit> {
  const visited = await visit(...args);
  visited.page.setDefaultTimeout(60_000);
  return visited;
}

/** What this screen shows beside the page to hand over, its frame of steps and strips included. */
function besideTheSheet(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.body.querySelectorAll<HTMLElement>('*')]
      .filter((one) => !one.classList.contains('report-sheet') && one.querySelector('.report-sheet') === null && one.offsetHeight > 0)
      .map((one) => `${one.tagName} ${one.className}`),
  );
}

/** Words that a sheet of paper would cut off at its right edge; A4 is the narrower of the two: 210 mm less 13 mm on either side, at 96 CSS pixels an inch. */
async function cutOff(page: Page): Promise<string[]> {
  await page.setViewportSize({ width: Math.floor(((210 - 2 * 13) * 96) / 25.4), height: 1000 });
  await page.emulateMedia({ media: 'print' });
  const words = await page.evaluate(() =>
    [...document.body.querySelectorAll('*')].filter((one) => one.childElementCount === 0 && (one.textContent ?? '').trim() !== '' && one.getBoundingClientRect().right > innerWidth + 1).map((one) => one.textContent!),
  );
  await page.emulateMedia({ media: null });
  return words;
}

/** Page objects of a PDF (ISO 32000-1, 7.7.3.3: /Type /Page; the tree's own nodes are /Pages). Chromium writes them uncompressed. */
function pagesOf(pdf: Buffer): number {
  return (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
}
