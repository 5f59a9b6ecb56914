import type { Page } from 'playwright-core';
import { axeFaults, changeTo, overflow, resize, SIZES, THEMES } from './browser.ts';

/** A view of the pages, and what brings it about. A part that is closed at first is opened: what can be seen is looked at. */
export interface View {
  readonly name: string;
  readonly open: (page: Page) => Promise<void>;
}

/** The widest size that is worked with fingers. */
const TOUCH_PX = 820;
/** What a finger hits: WCAG 2.2 asks 24 (2.5.8), and 44 in its stricter form (2.5.5), which is the one kept here. */
const TARGET_PX = 44;
/** Rules of axe that colours decide: what is built is the same in both themes. */
const BY_COLOUR = ['color-contrast', 'link-in-text-block'];
/** Those and what places decide: what is built is the same at the middle size as at the wide or the narrow one. */
const BY_LOOK = [...BY_COLOUR, 'target-size', 'scrollable-region-focusable'];

/** What is wrong with these views, one after the other on one page: with axe in both themes at three sizes, their width, text of twice the size, targets for fingers, and what is chosen in the colours of the system. */
export async function viewFaults(page: Page, views: readonly View[]): Promise<string[]> {
  const found: string[] = [];
  for (const [index, { name, open }] of views.entries()) {
    await open(page);
    // down and up again by turns: each view begins at the size, and each size in the theme, at which the one before it ended
    for (const [turn, size] of (index % 2 === 0 ? SIZES : SIZES.toReversed()).entries()) {
      await resize(page, size);
      const themes = (index + turn) % 2 === 0 ? THEMES : THEMES.toReversed();
      found.push(...(await sizeFaultsOf(page, size, themes)).map((fault) => `${name}, ${size.width} px: ${fault}`));
    }
    await page.emulateMedia({ forcedColors: 'active' });
    found.push(...(await chosenWithoutFrame(page)).map((one) => `${name}, colours of the system: no frame round ${one}`));
    await page.emulateMedia({ forcedColors: 'none' });
  }
  return found;
}

export function openAll(page: Page, selector: string): Promise<void> {
  return page.locator(selector).evaluateAll((all) => all.forEach((one) => one.tagName === 'DETAILS' && one.setAttribute('open', '')));
}

/** The button of the page may lie under a dialog that fills the screen; the page follows what the button sets. */
async function setTheme(page: Page, theme: (typeof THEMES)[number]): Promise<void> {
  if ((await page.locator('dialog[open]').count()) === 0) await changeTo(page, theme);
  else await page.evaluate((to) => (document.documentElement.dataset['theme'] = to), theme);
}

/** Controls that are lower than a finger needs. A link within a sentence is as high as its line (the exception in WCAG 2.5.8); a box or a dot is hit by its label. */
function lowTargets(page: Page): Promise<string[]> {
  return page.evaluate((leastPx) => {
    const low: string[] = [];
    for (const one of document.querySelectorAll<HTMLElement>('a[href], button, input, select, textarea, summary, [role="button"], [role="slider"]')) {
      if (!one.checkVisibility({ visibilityProperty: true }) || getComputedStyle(one).display === 'inline') continue;
      const target = (one.matches('[type="checkbox"], [type="radio"]') ? one.closest('label') : null) ?? one;
      const box = target.getBoundingClientRect();
      // out of sight until the keyboard comes to it, or worked by the button beside it
      if (box.width <= 1 || box.right < 0 || one.matches('.unseen, .skip')) continue;
      if (box.height < leastPx - 0.5) low.push(`${one.tagName.toLowerCase()}.${one.className} "${(one.textContent || one.getAttribute('aria-label') || '').slice(0, 30)}" is ${box.height.toFixed(0)} px high`);
    }
    return [...new Set(low)];
  }, TARGET_PX);
}

/** What is chosen or the place one is at, told by its background alone: that is gone where the system sets the colours. */
function chosenWithoutFrame(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('[aria-pressed="true"], [aria-current]:not([aria-current="false"])')]
      .filter((one) => one.checkVisibility() && getComputedStyle(one).outlineStyle !== 'solid')
      .map((one) => `${one.className} "${(one.textContent ?? '').slice(0, 30)}"`),
  );
}

/** What is wrong with the view as it is, at this size: its width, its targets, and axe in both themes. */
async function sizeFaultsOf(page: Page, size: { readonly width: number }, themes: readonly (typeof THEMES)[number][]): Promise<string[]> {
  const found: string[] = [];
  const wider = await overflow(page);
  if (wider > 0) found.push(`${wider} px too wide`);
  if (size.width <= TOUCH_PX) found.push(...(await lowTargets(page)));
  for (const theme of themes) {
    await setTheme(page, theme);
    const rules = theme === 'dark' ? BY_COLOUR : size.width === TOUCH_PX ? BY_LOOK : null;
    found.push(...(await axeFaults(page, rules)).map((fault) => `${theme}: ${fault}`));
  }
  if (size.width === TOUCH_PX) found.push(...(await twiceTheText(page)));
  return found;
}

/** Text of twice the size (WCAG 1.4.4): where the page is wider than its window, and controls whose words do not fit into them. */
async function twiceTheText(page: Page): Promise<string[]> {
  const size = page.viewportSize()!;
  await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
  // by one pixel, so that what a script lays out by its width is laid out by the new text as well
  await resize(page, { ...size, width: size.width - 1 });
  const wider = await overflow(page);
  const clipped = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button:not(.segment), .tool, .button, .badge')]
      .filter((one) => one.offsetParent !== null && one.scrollWidth > one.clientWidth + 1)
      .map((one) => `${one.className}: ${one.textContent}`),
  );
  await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  await resize(page, size);
  return [...(wider > 0 ? [`text of twice the size: ${wider} px too wide`] : []), ...clipped.map((one) => `text of twice the size: "${one}" does not fit`)];
}
