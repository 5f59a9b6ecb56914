import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { en } from '../../src/core/present/en/index.ts';
import type { HelpTopic } from '../../src/core/present/texts/help-texts.ts';
import { goTo, QUIET, sizeFaults, startBuilt, themeFaults, visit } from './browser.ts';
import { withDaemon } from './with-browser.ts';

const SIZES = [{ width: 820, height: 1180 }, { width: 390, height: 844 }, { width: 1280, height: 800 }];
/** Three sentences or so: who needs more reads the trade's own books. */
const SHORT = 420;

describe('help in place, in a real browser', () => {
  const on = withDaemon(() => startBuilt(QUIET));

  it('is at the set-up of each test with its drawing, closed until it is wanted, and is clean to axe in light and dark at three sizes', async () => {
    const { page, context, faults } = await visit(on.browser, on.daemon.url);
    const found: string[] = [];
    for (const [test, topics] of [['Motor or mechanism', ['clamp', 'one-wire', 'voltage-lead']], ['Key-off drain', ['battery-cable', 'one-wire', 'bypass', 'sleep']]] as const) {
      await goTo(page, 'setup');
      await page.getByLabel(test).check();
      await page.locator(`[data-help="${topics[0]}"]`).waitFor();
      // a card that both tests have stays open from one to the other
      await page.locator('details.help').evaluateAll((all) => all.forEach((one) => one.removeAttribute('open')));
      for (const topic of topics) await open(page, topic);
      const faulty = [...(await themeFaults(page)), ...(await sizeFaults(page, SIZES, async () => (await outside(page)).map((words) => `"${words}" leaves its drawing`)))];
      found.push(...faulty.map((fault) => `${test}, ${fault}`));
    }
    expect(found).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('is short', () => {
    const { labels: _labels, ...topics } = en.help;
    for (const [topic, { lines }] of Object.entries(topics)) expect(lines.join(' ').length, topic).toBeLessThan(SHORT);
  });
});

async function open(page: Page, topic: HelpTopic): Promise<void> {
  const { title, drawing } = en.help[topic];
  const picture = page.getByRole('img', { name: drawing });
  expect(await picture.isVisible()).toBe(false);
  await page.locator(`[data-help="${topic}"] summary`).filter({ hasText: title }).click();
  await picture.waitFor();
}

/** Words that reach beyond the drawing they stand in. */
function outside(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('.help svg')].flatMap((svg) => {
      const edge = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')].filter((text) => {
        const { left, right } = text.getBoundingClientRect();
        return left < edge.left - 1 || right > edge.right + 1;
      }).map((text) => text.textContent ?? '');
    }),
  );
}
