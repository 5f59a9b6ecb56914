import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { goTo, newFolder, QUIET, startBuilt, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

describe('jobs of a workshop, in a real browser', () => {
  const on = withDaemon(() => startBuilt(QUIET));

  it('are found by any word, closed, archived, removed and brought back', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await newJob(page, { Vehicle: 'Van 12', Plate: 'MT 12', Complaint: 'Sliding door crawls' });
    await newJob(page, { Vehicle: 'Minibus 4', Plate: 'MT 44', Complaint: 'Side step hardly moves', Customer: 'Millbrook transport', Odometer: '187250', VIN: 'amptra1l000000044' });
    const story = page.getByRole('region', { name: 'Story' });
    await part(page, 'Story');
    for (const words of ['MT 44', 'AMPTRA1L000000044', '187,250 km', 'Millbrook transport', 'Side step hardly moves']) await story.getByText(words).first().waitFor();

    await goTo(page, 'job');
    const rows = page.locator('.job-row');
    await page.getByLabel('Find').fill('mt44');
    await page.getByText('1 of 2').waitFor();
    expect(await rows.allTextContents()).toEqual([expect.stringContaining('Minibus 4')]);
    await page.getByLabel('Find').fill('');
    await rows.filter({ hasText: 'Minibus 4' }).click();
    await part(page, 'Story');
    await page.getByRole('button', { name: 'Close the job' }).click();
    await page.getByRole('heading', { name: /^Closed on / }).waitFor();
    await story.locator('.story-closed time').waitFor();
    await page.getByRole('button', { name: 'Archive', exact: true }).click();
    await page.getByRole('button', { name: 'Take out of the archive' }).waitFor();

    await goTo(page, 'job');
    await page.getByText('1 of 2').waitFor();
    expect(await rows.allTextContents()).toEqual([expect.stringContaining('Van 12')]);
    await page.getByRole('button', { name: 'Archived', exact: true }).click();
    await rows.filter({ hasText: 'Minibus 4' }).click();
    await page.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByRole('button', { name: 'Remove it' }).click();
    await page.getByText('Minibus 4 was removed.').waitFor();
    expect(await rows.filter({ hasText: 'Minibus 4' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('button', { name: 'All', exact: true }).click();
    await rows.filter({ hasText: 'Minibus 4' }).waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });

  it('keep notes and photos, refuse what is no photo, and go to another computer as one zip', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    await newJob(page, { Vehicle: 'Flatbed 2', Complaint: 'Winch stutters' });
    await part(page, 'Story');
    const story = page.getByRole('region', { name: 'Story' });
    await page.getByLabel('What was seen, said or agreed').fill('Strap frayed at the drum');
    await page.getByRole('button', { name: 'Add the note' }).click();
    await story.getByText('Strap frayed at the drum').waitFor();

    const folder = newFolder();
    const files = page.getByLabel('Photo files');
    // pictures that the browser itself has written: held against what our reader says of them
    for (const [type, ending] of [['image/jpeg', 'jpg'], ['image/webp', 'webp'], ['image/png', 'png']] as const) {
      const path = join(folder, `drum.${ending}`);
      writeFileSync(path, await drawn(page, type));
      await files.setInputFiles(path);
      await story.locator('img').nth(['jpg', 'webp', 'png'].indexOf(ending)).waitFor();
    }
    const sizes = await story.locator('img').evaluateAll((all) => all.map((one) => { const image = one as HTMLImageElement; return [image.width > 0, image.naturalWidth, image.naturalHeight, image.getAttribute('width'), image.getAttribute('height')]; }));
    expect(sizes).toEqual([1, 2, 3].map(() => [true, 320, 200, '320', '200']));
    const trap = join(folder, 'trap.png');
    writeFileSync(trap, '<svg xmlns="http://www.w3.org/2000/svg" onload="document.title=1"><script>document.title=1</script></svg>');
    await files.setInputFiles(trap);
    await page.getByRole('alert').getByText('a JPEG, PNG or WebP file is needed').waitFor();
    expect(await story.locator('img').count()).toBe(3);

    const jobId = await page.evaluate(() => location.hash.split('/')[2]!);
    await goTo(page, `job/${jobId}`);
    const [zip] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Export the job (zip)' }).click()]);
    const path = join(folder, 'job.zip');
    await zip.saveAs(path);
    await goTo(page, 'job');
    await page.getByLabel('Job as a zip file').setInputFiles(path);
    await page.waitForFunction((before) => /^#\/job\/.+\/story$/.test(location.hash) && !location.hash.includes(`/${before}/`), jobId);
    await story.getByText('Strap frayed at the drum').waitFor();
    await story.locator('img').nth(2).waitFor();
    // one refused upload is written into the console by the browser itself
    expect(faults.filter((fault) => !fault.includes('422'))).toEqual([]);
    await context.close();
  });
});

async function newJob(page: Page, fields: Readonly<Record<string, string>>): Promise<void> {
  await goTo(page, 'job');
  const form = page.getByRole('form', { name: 'New job' });
  for (const [name, text] of Object.entries(fields)) await form.getByLabel(new RegExp(`^${name}`)).fill(text);
  await form.getByLabel('Note').focus();
  await form.getByRole('button', { name: 'Save', exact: true }).click();
  await page.waitForFunction(() => /^#\/job\/.+/.test(location.hash));
  await page.getByRole('navigation', { name: 'Parts of this job' }).waitFor();
}

async function part(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Parts of this job' }).getByRole('link', { name }).click();
}

async function drawn(page: Page, type: string): Promise<Buffer> {
  const url = await page.evaluate((asked) => {
    const canvas = Object.assign(document.createElement('canvas'), { width: 320, height: 200 });
    const ink = canvas.getContext('2d')!;
    ink.fillStyle = '#0072b2';
    ink.fillRect(20, 20, 200, 100);
    return canvas.toDataURL(asked);
  }, type);
  return Buffer.from(url.slice(url.indexOf(',') + 1), 'base64');
}
