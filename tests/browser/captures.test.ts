import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { DuckDBInstance } from '@duckdb/node-api';
import { RecordBatchReader } from 'apache-arrow';
import type { Browser, Download, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { readCsv } from '../core/tracefile/read-csv.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { recording, slice } from '../daemon/store/kit.ts';
import { axeFaults, goTo, launchBrowser, newFolder, overflow, QUIET, removeFolders, startBuilt, visit, type RunningDaemon } from './browser.ts';

const ROOT = join(import.meta.dirname, '..', '..');
/** An hour and a quarter at 1 kS/s: long enough that exporting takes a while, and that no page could hold it. */
const LONG_SAMPLES = 4_800_000;

/** Commutation of a motor under way, 400 Hz on 4 A, as long as you like. */
async function writeLong(folder: string): Promise<void> {
  const record = { ...emptyTraceRecord('long', '2026-11-24T20:00:00.000Z', 'test'), title: 'A long night', test: 'drain' as const };
  const writer = await TraceWriter.create(folder, record, { durable: false });
  const rows = 8000;
  for (let from = 0; from < LONG_SAMPLES; from += rows) {
    const timeS = Float64Array.from({ length: rows }, (_, i) => (from + i) / 1000);
    writer.append({ timeS, currentA: Float32Array.from(timeS, (at) => 4 + Math.sin(at * 800 * Math.PI) + (at % 600 < 2 ? 6 : 0)), voltageV: null });
    await writer.flush();
  }
  await writer.finish();
}

describe('captures on the pages, in a real browser on a real daemon', () => {
  let browser: Browser;
  let daemon: RunningDaemon;
  const files = newFolder();
  const short = recording(6000, 1000, 12);

  beforeAll(async () => {
    const dataDir = newFolder();
    await writeLong(join(dataDir, 'jobs', 'unfiled', '2026-11-24T20-00-00Z-long'));
    const record = { ...emptyTraceRecord('2026-11-25T08-00-00Z-step', '2026-11-25T08:00:00.000Z', 'test'), title: 'Step, left', test: 'actuation' as const };
    const writer = await TraceWriter.create(join(dataDir, 'jobs', 'unfiled', record.id), record, { durable: false });
    writer.append(slice(short, 0, 6000));
    await writer.mark({ timeS: 2, kind: 'note', label: 'door' });
    await writer.finish();
    [browser, daemon] = await Promise.all([launchBrowser(), startBuilt(QUIET, { dataDir })]);
  });
  afterAll(async () => {
    await browser.close();
    await daemon.close();
    removeFolders();
  });

  const openTrace = async (page: Page, name: string): Promise<void> => {
    await goTo(page, 'traces');
    await page.getByLabel('Find').fill(name);
    await page.locator('.trace-row').first().click();
    await page.getByRole('heading', { name }).waitFor();
    await page.locator('.chart-host[data-to]').waitFor();
  };
  const exported = async (page: Page, name: RegExp): Promise<Download> => {
    await page.getByText('Export', { exact: true }).click();
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name }).click()]);
    return download;
  };
  const view = async (page: Page): Promise<{ fromS: number; toS: number }> => page.locator('.chart-host').evaluate((host: HTMLElement) => ({ fromS: Number(host.dataset['from']), toS: Number(host.dataset['to']) }));

  it('are saved as CSV, Arrow, Parquet, SVG, PNG and zip, which other programs read; and the zip and the CSV are taken in again', async () => {
    const { page, context, faults } = await visit(browser, daemon.url);
    await openTrace(page, 'Step, left');
    const save = async (name: RegExp, ending: string): Promise<string> => {
      const download = await exported(page, name);
      expect(download.suggestedFilename()).toMatch(new RegExp(`^2026-11-25-Step-left\\.${ending}$`));
      const path = join(files, `out.${ending}`);
      await download.saveAs(path);
      return path;
    };
    const csv = await save(/^CSV/, 'csv');
    expect(readCsv(readFileSync(csv)).summary.samples).toBe(6000);
    const arrow = [...RecordBatchReader.from(readFileSync(await save(/^Arrow/, 'arrows')))];
    expect(arrow.reduce((sum, batch) => sum + batch.numRows, 0)).toBe(6000);
    const duck = await (await DuckDBInstance.create()).connect();
    const parquet = await duck.runAndReadAll(`select count(*)::int, max(current_a), min(voltage_v) from read_parquet('${await save(/^Parquet/, 'parquet')}')`);
    expect(parquet.getRows()[0]).toEqual([6000, Math.max(...short.currentA), Math.min(...short.voltageV!)]);
    const png = readFileSync(await save(/^Picture/, 'png'));
    expect(png.subarray(0, 8).toString('hex')).toBe('89504e470d0a1a0a');
    expect(png.readUInt32BE(16)).toBeGreaterThan(2000);
    expect(readFileSync(await save(/^Drawing/, 'svg'), 'utf8')).toMatch(/^<svg [\s\S]*Step, left[\s\S]*<\/svg>\s*$/);
    const zip = await save(/zip/i, 'zip');

    for (const path of [zip, csv]) {
      await goTo(page, 'traces');
      const count = page.getByRole('status').filter({ hasText: 'in all' });
      await page.getByLabel('Find').fill('');
      await count.waitFor();
      await page.getByLabel('File to import').setInputFiles(path);
      if (path !== zip) {
        await page.getByRole('radio', { name: 'Motor or mechanism' }).check();
        await page.getByRole('button', { name: 'Import', exact: true }).click();
      }
      await page.locator('.chart-host[data-to]').waitFor();
      await page.locator('.facts').getByText(/^6.?000\b/).waitFor();
      if (path === zip) expect(await page.locator('.mark-list').getByText('door').count()).toBe(1);
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  it('from another program ask how they are to be read, and say in words why not', async () => {
    const { page, context } = await visit(browser, daemon.url);
    await goTo(page, 'traces');
    const foreign = join(files, 'meter.csv');
    writeFileSync(foreign, `Zeit;Kanal 1\n${Array.from({ length: 2000 }, (_, i) => `${i},0;${(i % 7) * 100},5`).join('\n')}\n`);
    await page.getByLabel('File to import').setInputFiles(foreign);
    const questions = page.getByRole('form', { name: 'How to read the file' });
    await questions.waitFor();
    await questions.getByRole('cell', { name: '100,5' }).first().waitFor();
    expect(await questions.getByRole('button', { name: 'Import', exact: true }).isDisabled()).toBe(true);
    expect(await axeFaults(page)).toEqual([]);
    await questions.getByRole('radio', { name: 'Key-off drain' }).check();
    await questions.getByLabel('What "Zeit" holds').selectOption('time in ms');
    await questions.getByLabel('What "Kanal 1" holds').selectOption('current in mA');
    await questions.getByText('About 1000 readings a second').waitFor();
    await questions.getByRole('button', { name: 'Import', exact: true }).click();
    await page.locator('.chart-host[data-to]').waitFor();
    expect((await view(page)).toS).toBeCloseTo(2, 1);
    await goTo(page, 'traces');
    writeFileSync(join(files, 'holiday.zip'), 'not a zip at all');
    await page.getByLabel('File to import').setInputFiles(join(files, 'holiday.zip'));
    await page.getByRole('alert').getByText('not a zip').waitFor();
    // what cannot be read is said as the page is used: which line, and no option of a command
    await page.getByLabel('File to import').setInputFiles({ name: 'typed.csv', mimeType: 'text/csv', buffer: Buffer.from('time_s,current_a\n0,1\n1,two\n2,1\n') });
    await questions.getByRole('radio', { name: 'Motor or mechanism' }).check();
    await questions.getByRole('button', { name: 'Import', exact: true }).click();
    const refused = questions.getByRole('alert');
    await refused.getByText(/[Ll]ine 3.*two/).waitFor();
    expect(await refused.textContent()).not.toMatch(/--\w/);
    await context.close();
  });

  it('that are large show, where Import was pressed, how much of them is in, can be given up, and fetch nobody away from another screen', async () => {
    const { page, context, faults } = await visit(browser, daemon.url, { width: 390, height: 844 });
    const large = join(files, 'large.csv');
    writeFileSync(large, `time_s,current_a\n${Array.from({ length: 400_000 }, (_, i) => `${i / 1000},${(i % 700) / 100}`).join('\n')}\n`);
    await goTo(page, 'traces');
    await page.getByLabel('File to import').setInputFiles(large);
    const form = page.getByRole('form', { name: 'How to read the file' });
    await form.getByRole('radio', { name: 'Motor or mechanism' }).check();
    // every share that is drawn
    await page.evaluate(() => {
      const shares: number[] = [];
      Object.assign(window, { shares });
      new MutationObserver(() => {
        const share = /, (\d+) %/.exec(document.querySelector('.import-form .working p')?.textContent ?? '')?.[1];
        if (share !== undefined && Number(share) !== shares.at(-1)) shares.push(Number(share));
      }).observe(document.body, { subtree: true, childList: true, characterData: true });
    });
    const begin = form.getByRole('button', { name: 'Import', exact: true });
    const work = form.getByRole('status', { name: 'Importing' });
    await begin.click();
    await work.getByText(/^Importing large\.csv/).waitFor();
    expect(await begin.count()).toBe(0);
    expect(await work.evaluate((element) => element.getBoundingClientRect().bottom <= innerHeight)).toBe(true);
    await work.getByRole('button', { name: 'Cancel' }).click();
    await work.waitFor({ state: 'detached' });
    // the questions and their answers are still there
    await page.evaluate(() => ((window as unknown as { shares: number[] }).shares.length = 0));
    await begin.click();
    await page.locator('.chart-host[data-to]').waitFor();
    const shares = await page.evaluate(() => (window as unknown as { shares: number[] }).shares);
    expect(shares.length).toBeGreaterThan(2);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));

    await goTo(page, 'traces');
    await page.getByLabel('File to import').setInputFiles(large);
    await form.getByRole('radio', { name: 'Motor or mechanism' }).check();
    // the last thing that is asked of the daemon for it
    const kept = page.waitForResponse((response) => response.request().method() === 'PUT' && response.url().includes('/api/traces/'));
    await begin.click();
    await goTo(page, 'setup');
    await kept;
    await goTo(page, 'traces');
    await page.locator('.trace-row', { hasText: 'large.csv' }).nth(1).waitFor();
    expect(await page.evaluate(() => location.hash)).toBe('#/traces');
    // the browser says that it was told to give up the first
    expect(faults.filter((fault) => !fault.includes('ERR_ABORTED'))).toEqual([]);
    await context.close();
  });

  it('of hours are drawn at once and go down to one commutation by pinch, never with more than the screen has columns', async () => {
    const { page, context, faults } = await visit(browser, daemon.url, { width: 820, height: 1180 });
    await openTrace(page, 'A long night');
    expect((await view(page)).toS).toBeCloseTo(LONG_SAMPLES / 1000, 0);
    const box = (await page.locator('.chart-host .u-over').boundingBox())!;
    const touch = await context.newCDPSession(page);
    const [y, left, right] = [box.y + box.height / 2, box.x + 0.4 * box.width, box.x + 0.6 * box.width];
    // five spreads of two fingers from a fifth of the width to nine tenths of it: 4.5 times closer each
    for (let spread = 0; spread < 9; spread++) {
      await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [{ x: left, y, id: 1 }, { x: right, y, id: 2 }] });
      for (let step = 1; step <= 7; step++) await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: [{ x: left - 0.05 * step * box.width, y, id: 1 }, { x: right + 0.05 * step * box.width, y, id: 2 }] });
      await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    }
    const near = await view(page);
    // from more than an hour to a stretch in which single commutations of 2.5 ms are apart
    expect(near.toS - near.fromS).toBeLessThan(0.1);
    // all readings of it have come: one a millisecond
    await page.waitForFunction(() => {
      const { from, to, points } = (document.querySelector('.chart-host') as HTMLElement).dataset;
      return Math.abs(Number(points) - (Number(to) - Number(from)) * 1000) <= 4;
    });
    expect(faults).toEqual([]);
    await context.close();
  });

  it('that take long to read show how far they are, and can be cancelled; so can a file that is being made', async () => {
    const { page, context } = await visit(browser, daemon.url);
    await openTrace(page, 'A long night');
    await page.locator('[data-finding]').first().waitFor();
    await page.getByText('Export', { exact: true }).click();
    await page.getByRole('button', { name: /^CSV/ }).click();
    const making = page.getByRole('status', { name: 'Making the file' });
    await making.getByText(/\d+ %/).waitFor();
    // one long piece of work at a time: a reading asked for now waits, and can be given up
    await page.getByLabel('Read as').selectOption('actuation');
    const reading = page.getByRole('status', { name: 'Analysing the trace' });
    await reading.getByRole('button', { name: 'Cancel' }).click();
    await reading.waitFor({ state: 'detached' });
    await making.getByRole('button', { name: 'Cancel' }).click();
    await making.waitFor({ state: 'detached' });
    // and the daemon goes on: the next export, of a short one, is made
    await openTrace(page, 'Step, left');
    expect((await exported(page, /^Parquet/)).suggestedFilename()).toMatch(/parquet$/);
    await context.close();
  });

  it('have marks that can be moved, renamed and removed', async () => {
    const { page, context, faults } = await visit(browser, daemon.url, { width: 390, height: 844 });
    await openTrace(page, 'Step, left');
    const marks = page.getByRole('region', { name: 'Marks' });
    await marks.getByRole('button', { name: 'door' }).click();
    await marks.getByLabel('What').selectOption('pull');
    await marks.getByRole('textbox', { name: 'Fuse' }).fill('F12');
    await marks.getByLabel('At, s').fill('2.5');
    expect(await axeFaults(page)).toEqual([]);
    expect(await overflow(page)).toBe(0);
    await marks.getByRole('button', { name: 'Change mark' }).click();
    await marks.getByRole('button', { name: 'F12 pulled' }).click();
    await marks.getByRole('button', { name: 'Remove mark' }).click();
    await marks.locator('.mark-list').waitFor({ state: 'detached' });
    expect(faults).toEqual([]);
    await context.close();
  });
});

describe('a recording on a disk that is full', () => {
  let child: ChildProcess;
  let browser: Browser;
  let url = '';

  beforeAll(async () => {
    // the kernel refuses what makes a file larger than 256 kB (EFBIG), as it does beyond a quota
    const serve = `ulimit -f 512; exec "${process.execPath}" --import 'data:text/javascript,process.on("SIGXFSZ",()=>undefined)' dist/cli/main.js serve --source 'sim:side-step-jam?speed=20' --port 0 --data "${newFolder()}"`;
    child = spawn('sh', ['-c', serve], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
    const found = (async () => {
      for await (const line of createInterface({ input: child.stdout! })) {
        const address = /http:\/\/\S+/.exec(line)?.[0];
        if (address !== undefined) return address;
      }
      throw new Error('the daemon printed no address');
    })();
    [url, browser] = await Promise.all([found, launchBrowser()]);
  });
  afterAll(async () => {
    if (child.exitCode === null && child.kill('SIGTERM')) await once(child, 'exit');
    await browser.close();
    removeFolders();
  });

  it('ends by itself, the page says why and what was kept, and what was kept opens', async () => {
    const { page, context, faults } = await visit(browser, url);
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await page.getByRole('status').getByText(/disk is full/).first().waitFor();
    expect(await axeFaults(page)).toEqual([]);
    // figures and chart go on
    await page.locator('.big-current .big-digits').waitFor();
    await page.getByRole('link', { name: 'Open the recording' }).click();
    await page.getByText('because the disk was full').waitFor();
    await page.locator('.chart-host[data-to]').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });
});
