import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, QUIET, sizeAndThemeFaults, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';

describe('two pages of one daemon, in a real browser', () => {
  const on = withBrowser();

  it('one works the logger, the other watches, asks, is declined, asks again and is handed the controls', async () => {
    const daemon = await startBuilt(QUIET);
    const own = await visit(on.browser, daemon.url);
    await own.page.getByRole('button', { name: 'Record', exact: true }).click();
    const stop = (page: Page) => page.getByRole('button', { name: 'Stop', exact: true });
    await stop(own.page).waitFor();
    const other = await visit(on.browser, daemon.url);
    await other.page.getByText('This page watches. The controls are with another page on the computer itself.').waitFor();
    await stop(other.page).waitFor();
    expect(await stop(other.page).isDisabled()).toBe(true);
    expect(await other.page.getByRole('button', { name: 'Hold forward' }).isDisabled()).toBe(true);
    expect(await other.page.getByRole('button', { name: 'Mark space' }).isDisabled()).toBe(false);
    expect(await sizeAndThemeFaults(other.page)).toEqual([]);
    await goTo(other.page, 'setup');
    expect(await other.page.getByRole('radio').first().isDisabled()).toBe(true);
    await goTo(other.page, 'test');
    await other.page.getByRole('button', { name: 'Ask for the controls' }).click();
    const question = own.page.getByRole('alert', { name: 'Controls' });
    await question.getByText('The controls are asked for by another page on the computer itself.').waitFor();
    expect(await axeFaults(own.page)).toEqual([]);
    await question.getByRole('button', { name: 'Keep them' }).click();
    await other.page.getByText('Declined: the controls stay with').waitFor();
    expect(await stop(other.page).isDisabled()).toBe(true);
    await other.page.getByRole('button', { name: 'Ask for the controls' }).click();
    await question.getByRole('button', { name: 'Hand over' }).click();
    await own.page.getByText('This page watches.').waitFor();
    expect(await stop(own.page).isDisabled()).toBe(true);
    // also then another's recording is not ended by one tap
    await stop(other.page).click();
    await other.page.getByRole('button', { name: 'Started on another page. Stop it?' }).click();
    await own.page.getByText('Not recording', { exact: true }).waitFor();
    expect([...own.faults, ...other.faults]).toEqual([]);
    await own.context.close();
    await other.context.close();
    await daemon.close();
  });

  it('a page that has gone leaves the controls, and a page that may only look has none', async () => {
    const daemon = await startBuilt(QUIET);
    const own = await visit(on.browser, daemon.url);
    await own.page.getByRole('button', { name: 'Record', exact: true }).waitFor();
    const other = await visit(on.browser, daemon.url);
    await other.page.getByText('This page watches.').waitFor();
    await own.context.close();
    await other.page.getByText('Nobody holds the controls.').waitFor();
    await other.page.getByRole('button', { name: 'Take the controls' }).click();
    await other.page.getByRole('region', { name: 'Controls' }).waitFor({ state: 'detached' });
    const looking = await visit(on.browser, daemon.url.replace(/#.*/, `#${daemon.viewToken}`));
    await looking.page.getByText('This page may only look. It cannot change anything.').waitFor();
    expect(await looking.page.getByRole('button', { name: 'Record', exact: true }).isDisabled()).toBe(true);
    expect(await looking.page.getByRole('button', { name: 'Mark space' }).isDisabled()).toBe(true);
    expect(await looking.page.getByLabel('Job', { exact: true }).isDisabled()).toBe(true);
    expect(await sizeAndThemeFaults(looking.page)).toEqual([]);
    await looking.context.close();
    await other.context.close();
    await daemon.close();
  });
});
