import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, overflow, QUIET, resize, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';

describe('one job on two pages, in a real browser', () => {
  const on = withBrowser();

  it('a second save that would overwrite says so and shows both; what is chosen is kept', async () => {
    const daemon = await startBuilt(QUIET);
    const one = await visit(on.browser, daemon.url);
    await goTo(one.page, 'job');
    await one.page.getByLabel('Vehicle', { exact: true }).fill('Van 2');
    await one.page.getByRole('button', { name: 'Save', exact: true }).click();
    await one.page.getByRole('heading', { name: 'This job' }).waitFor();
    const address = await one.page.evaluate(() => location.hash.slice(2));
    const other = await visit(on.browser, daemon.url);
    await goTo(other.page, address);
    await other.page.getByRole('heading', { name: 'This job' }).waitFor();

    const form = (visited: typeof one) => visited.page.getByRole('form', { name: 'Job', exact: true });
    await form(one).getByLabel('Note', { exact: true }).fill('left door only');
    await form(one).getByRole('button', { name: 'Save', exact: true }).click();
    await one.page.getByText('Saved. Recordings now go to this job.').waitFor();
    await form(other).getByLabel('Note', { exact: true }).fill('only when cold');
    await form(other).getByLabel('Technician', { exact: true }).fill('R.');
    await form(other).getByRole('button', { name: 'Save', exact: true }).click();
    const card = other.page.getByRole('form', { name: 'Changed by two people' });
    await card.getByText('left door only').first().waitFor();
    await card.getByText('only when cold').first().waitFor();
    expect(await card.getByRole('button', { name: 'Save my choice' }).isDisabled()).toBe(true);
    expect(await axeFaults(other.page)).toEqual([]);
    await resize(other.page, { width: 390, height: 844 });
    expect(await overflow(other.page)).toBeLessThanOrEqual(0);
    await card.getByLabel('Both, one after the other').check();
    await card.getByRole('button', { name: 'Save my choice' }).click();
    await card.waitFor({ state: 'detached' });
    await other.page.getByText('Saved.', { exact: true }).waitFor();
    const jobs = await other.page.evaluate(async () => {
      const key = sessionStorage.getItem('amptrail-token');
      return (await fetch('/api/jobs', { headers: { Authorization: `Bearer ${key}` } })).json() as Promise<{ job: { note: string; technician: string } }[]>;
    });
    expect(jobs[0]!.job).toMatchObject({ note: 'left door only\nonly when cold', technician: 'R.' });

    // a sign answered on one page is seen on the other
    await other.page.setViewportSize({ width: 1280, height: 800 });
    const hums = (visited: typeof one, answer: string) => visited.page.getByRole('listitem').filter({ hasText: /hum/i }).getByRole('button', { name: answer, exact: true }).first();
    await hums(one, 'Yes').click();
    await one.page.waitForFunction(() => document.querySelector('[aria-labelledby="sign-hums"] [aria-pressed="true"]')?.textContent === 'Yes');
    await other.page.waitForFunction(() => document.querySelector('[aria-labelledby="sign-hums"] [aria-pressed="true"]')?.textContent === 'Yes');
    expect([...one.faults, ...other.faults].filter((fault) => !fault.includes('409'))).toEqual([]);
    await one.context.close();
    await other.context.close();
    await daemon.close();
  });
});
