import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/core/random.ts';
import { LoggerLines } from '../simulate/logger-lines.ts';
import { axeFaults, goTo, launchBrowser, overflow, removeFolders, resize, startBuilt, visit } from './browser.ts';
import { lineLogger, type LineLogger } from './logger-lines.ts';

const RATE_HZ = 500;
/** Readings in a block, s of time. */
const BLOCK = 10;

/** Blocks as they are due since `begin`; of every `outOf` one is lost on the way. */
function losingLogger(outOf: number): () => string {
  const lines = new LoggerLines({ rateHz: RATE_HZ, channels: [{ name: 'current', unit: 'A', scale: 0.01, zero: 0, range: [-30, 30] }] }, { serial: 'L-7' });
  const beginMs = performance.now();
  let made = 0;
  let greetedMs = -Infinity;
  return () => {
    const sent: string[] = [];
    // whenever the daemon starts, the logger soon says who it is
    if (performance.now() - greetedMs > 1000) {
      greetedMs = performance.now();
      sent.push(lines.hello());
    }
    const due = Math.floor(((performance.now() - beginMs) / 1000) * (RATE_HZ / BLOCK));
    for (; made < due; made += 1) {
      const timeS = Float64Array.from({ length: BLOCK }, (_, i) => (made * BLOCK + i) / RATE_HZ);
      const block = lines.block({ timeS, currentA: new Float32Array(BLOCK).fill(2), voltageV: null });
      if (made % outOf !== 0) sent.push(block);
    }
    return sent.join('').trimEnd();
  };
}

describe('the logger\'s own page, in a real browser with a real pseudo-terminal', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser.close();
    removeFolders();
  });

  const card = (page: Page) => page.getByRole('region', { name: 'From the logger' });
  const withLogger = async (work: (logger: LineLogger) => Promise<void>): Promise<void> => {
    const logger = await lineLogger();
    try {
      await work(logger);
    } finally {
      logger.close();
    }
  };
  const withPage = async (spec: string, work: (page: Page) => Promise<void>): Promise<void> => {
    const daemon = await startBuilt(spec);
    try {
      const { page, context, faults } = await visit(browser, daemon.url);
      page.setDefaultTimeout(60_000);
      await goTo(page, 'setup');
      await work(page);
      expect(faults).toEqual([]);
      await context.close();
    } finally {
      await daemon.close();
    }
  };

  it('shows the port in use, the lines as they come with damaged ones marked and how many they are, and takes columns and scale for lines that read already', () =>
    withLogger((logger) => {
      let count = 0;
      // one line in five is spoilt on its way
      logger.print(() => ((count += 1) % 5 === 0 ? '0.5?,12' : '0.52,12.6'), 20);
      return withPage(`serial:${logger.path}`, async (page) => {
        const ports = page.getByRole('group', { name: 'Serial ports of this computer' });
        await ports.locator('[data-use="ours"]', { hasText: logger.path }).getByText('in use here').waitFor();
        await card(page).getByText('0.52,12.6').first().waitFor();
        await card(page).locator('.is-damaged', { hasText: '0.5?,12' }).first().waitFor();
        await card(page).getByText(/^\d+ % of the lines arrive damaged/).waitFor();
        await card(page).locator('.facts > div', { hasText: 'Lines arriving' }).waitFor();
        expect(await card(page).locator('.facts').textContent()).toMatch(/plain numbers.*not set/);
        await card(page).locator('details', { hasText: 'How its lines are read' }).evaluate((all) => ((all as HTMLDetailsElement).open = true));
        const form = card(page).getByRole('form', { name: 'How its lines are read' });
        // as they are read now
        expect(await form.getByLabel(/^Column 1/).inputValue()).toBe('current:A');
        expect(await form.getByLabel(/^Column 2/).inputValue()).toBe('voltage:V');
        await page.evaluate(() => scrollTo(0, 0));
        expect(await axeFaults(page)).toEqual([]);
        // a clamp of 100 mV for 1 A, whose volts are printed
        await form.getByLabel('Multiply by, to get A').fill('10');
        await form.getByRole('button', { name: 'Use these columns' }).click();
        await page.locator('.big-current .big-digits').getByText('5.20').waitFor();
        await resize(page, { width: 390, height: 844 });
        expect(await overflow(page)).toBe(0);
      });
    }));

  it('says that lines are being lost, and which rate would hold', () =>
    withLogger((logger) => {
      logger.print(losingLogger(4), 40);
      return withPage(`serial:${logger.path}`, async (page) => {
        await card(page).locator('.facts', { hasText: 'L-7' }).getByText('500 a second').first().waitFor();
        // three of four blocks come: 375 of 500 readings a second, and 80 % of that carries 200 (1, 2, 5, 10 …)
        await card(page).getByText(/Lines are being lost\. The line loses readings: of 500 S\/s about 3[5-9]\d S\/s arrive.*200 S\/s would hold/).waitFor();
        await page.waitForFunction(() => [...document.querySelectorAll('.facts > div')].some((fact) => /^Blocks lost[1-9]/.test(fact.textContent ?? '')));
        // what it says of itself, and what is seen of it
        const fact = (name: string) => card(page).locator('.facts > div', { has: page.locator('dt', { hasText: new RegExp(`^${name}$`) }) }).locator('dd');
        // a busy machine needs long to know it
        await fact('Clock drift against this computer').getByText(/^(not known yet|[-−]?[\d.,]+ ± [\d.,]+ ppm)$/).waitFor();
        for (const [name, value] of [['Firmware', 'virtual'], ['Range', /^−30.* A to 30.* A$/], ['Zero', 'not set'], ['Stated rate', '500 a second'], ['Measured rate', /^[45]\d\d(\.\d)? a second$/], ['One count of current', '0.0100 A']] as const) {
          await fact(name).getByText(value, typeof value === 'string' ? { exact: true } : undefined).waitFor();
        }
      });
    }));

  it('says in plain words what is wrong with a port, and what to do: not there, silent, noise, open elsewhere, unplugged', () =>
    withLogger((logger) =>
      withPage('serial:/dev/ttyACM97', async (page) => {
        const choose = async (spec: string): Promise<void> => {
          await page.getByLabel('Another port').fill(spec);
          await page.getByRole('button', { name: 'Connect', exact: true }).click();
        };
        await card(page).getByText('There is no device /dev/ttyACM97. Plug the logger in').waitFor();
        await choose('serial:/dev/null');
        await card(page).getByText('/dev/null is not a serial device').waitFor();
        await choose(`serial:${logger.path}?baud=115200`);
        await card(page).getByText('No line has arrived yet.').waitFor();
        await card(page).getByText('is open but silent at 115200 baud. Check that the logger').waitFor();
        // what a wrong speed makes of text: bytes that stand in none
        const random = seededRandom(1);
        const noise = () => String.fromCharCode(...Array.from({ length: 24 }, () => 128 + Math.floor(random() * 120)));
        logger.print(noise, 20);
        await card(page).getByText('makes no sense at 115200 baud: most likely the wrong speed').waitFor();
        expect(await card(page).getByLabel(/^Column/).count()).toBe(0);
        // that it has stopped is said as stopped, of its lines, too
        logger.silence();
        await card(page).getByText(/Nothing has arrived from .* for .* s\. What came before made no sense\./).waitFor();
        await card(page).getByText(/^The last line came .* s ago\.$/).waitFor();
        expect(await card(page).getByText('most likely the wrong speed').count()).toBe(0);
        // the way out is on the same card, open already; a speed that is not in the list can be typed
        await card(page).getByLabel('Or another speed').waitFor();
        await card(page).getByLabel('Port speed, baud').selectOption('9600');
        await card(page).getByRole('button', { name: 'Use this speed' }).click();
        logger.print('1.5', 20);
        await page.locator('.big-current .big-digits').getByText('1.50').waitFor();
        // a rate is known of some seconds of readings
        await card(page).locator('.facts > div', { hasText: 'Measured rate' }).getByText(/^[\d.,]+ a second$/).waitFor();
        // noise where readings came is no wrong speed
        logger.print(noise, 20);
        await card(page).getByText('though readings came at this speed before: most likely the line is disturbed').waitFor();
        await card(page).getByText(/a second until .* ago/).waitFor();
        logger.print('1.5', 20);
        await page.locator('.big-current:not(.big-old) .big-digits').getByText('1.50').waitFor();
        // a second amptrail on the same port
        await withPage(`serial:${logger.path}`, async (other) => {
          await card(other).getByText(/Another program has .* open\. Close it there/).waitFor();
        });
        logger.close();
        await card(page).getByText(/No readings\. The .* at .* is gone\. Plug it in again/).waitFor();
      }),
    ));
});
