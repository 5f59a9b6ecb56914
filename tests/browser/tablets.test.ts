import { describe, expect, it } from 'vitest';
import { goTo, newFolder, QUIET, sizeAndThemeFaults, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';

describe('tablets, in a real browser', () => {
  const on = withBrowser();

  it('are let in by name, do what their key allows, come back after a restart, and are shut out one by one; no request leaves the machine', async () => {
    const dataDir = newFolder();
    const first = await startBuilt(QUIET, { dataDir, lan: true });
    const { page, context, faults } = await visit(on.browser, first.url);
    const asked: string[] = [];
    context.on('request', (request) => asked.push(request.url()));
    await page.getByRole('link', { name: 'Tablets' }).click();
    await page.getByText('No tablet has a key of its own.').waitFor();
    const letIn = async (name: string, may: RegExp): Promise<string> => {
      await page.getByLabel('Its name').fill(name);
      await page.getByLabel(may).check();
      await page.getByRole('button', { name: 'Make its key' }).click();
      const card = page.getByRole('region', { name: `Open on "${name}"` });
      await card.getByRole('img', { name: 'Code to scan with its camera' }).waitFor();
      const url = (await card.locator('code').first().textContent())!;
      if (name === 'Bay 2') expect(await sizeAndThemeFaults(page)).toEqual([]);
      await card.getByRole('button', { name: 'Done' }).click();
      return url;
    };
    const bayUrl = await letIn('Bay 2', /May work too/);
    const officeUrl = await letIn('Office', /May look/);
    expect(await page.getByRole('listitem').filter({ hasText: /^Bay 2may look and work/ }).count()).toBe(1);
    expect(await page.getByRole('listitem').filter({ hasText: /^Officemay look/ }).count()).toBe(1);

    const office = await visit(on.browser, officeUrl, { width: 820, height: 1180 });
    await office.page.getByText('This page may only look. It cannot change anything.').waitFor();
    expect(await office.page.getByRole('button', { name: 'Record', exact: true }).isDisabled()).toBe(true);
    await goTo(office.page, 'tablets');
    await office.page.getByText('it does not see the list of devices').waitFor();
    const bay = await visit(on.browser, bayUrl, { width: 820, height: 1180 });
    await bay.page.getByText('This page watches.').waitFor();
    await goTo(bay.page, 'tablets');
    await bay.page.getByText('Tablets are let in and shut out on the computer itself').waitFor();
    expect(await bay.page.getByRole('button', { name: /Shut out/ }).count()).toBe(0);
    const bare = bayUrl.replace(/#.*/, '');
    await first.close();

    const second = await startBuilt(QUIET, { dataDir, lan: true, port: first.port });
    // a new tab, without the key in its address
    const again = await bay.context.newPage();
    await again.goto(bare);
    await again.getByRole('button', { name: 'Record', exact: true }).waitFor();
    await page.goto('about:blank');
    await page.goto(second.url);
    await goTo(page, 'tablets');
    await page.getByRole('button', { name: 'Shut out Bay 2' }).click();
    await page.getByRole('button', { name: 'Shut out Bay 2 for good?' }).click();
    await page.getByText('Bay 2 is shut out').waitFor();
    await again.getByRole('heading', { name: 'This page was not let in' }).waitFor();
    await office.page.reload();
    await office.page.getByText('This page may only look. It cannot change anything.').waitFor();
    expect(asked.filter((url) => !url.startsWith(`http://127.0.0.1:${first.port}/`) && !url.startsWith('about:'))).toEqual([]);
    expect(faults).toEqual([]);
    for (const one of [context, office.context, bay.context]) await one.close();
    await second.close();
  });

  it('cannot come in where amptrail was started without --lan, and the page says so', async () => {
    const daemon = await startBuilt(QUIET);
    const { page, context } = await visit(on.browser, daemon.url);
    await goTo(page, 'tablets');
    await page.getByText('it answers only this computer').waitFor();
    expect(await page.getByRole('button', { name: 'Make its key' }).count()).toBe(0);
    await context.close();
    await daemon.close();
  });

  it('the page can be installed, and its shell opens while amptrail is not running and says so', async () => {
    const daemon = await startBuilt(QUIET);
    const { page, context } = await visit(on.browser, daemon.url, undefined, { locale: 'en-GB', serviceWorkers: 'allow' });
    await page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state);
    const session = await context.newCDPSession(page);
    const { errors } = (await session.send('Page.getAppManifest')) as { errors: unknown[] };
    expect(errors).toEqual([]);
    const { installabilityErrors } = (await session.send('Page.getInstallabilityErrors')) as { installabilityErrors: { errorId: string }[] };
    // a test's profile is one that keeps nothing, in which no browser installs anything
    expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual([]);
    await page.reload();
    await page.getByRole('button', { name: 'Record', exact: true }).waitFor();
    const kept = await page.evaluate(async () => (await (await caches.open('amptrail-shell')).keys()).map(({ url }) => new URL(url).pathname));
    expect(kept.filter((path) => path.startsWith('/api/'))).toEqual([]);
    await daemon.close();
    await page.reload();
    await page.getByText('The program behind this page does not answer').first().waitFor();
    await context.close();
  });
});
