import { describe, expect, it } from 'vitest';
import { axeFaults, goTo, startBuilt, visit } from './browser.ts';
import { withBrowser } from './with-browser.ts';
import { lineLogger } from './logger-lines.ts';

describe('pages that must not mislead, in a real browser', () => {
  const on = withBrowser();

  it('show lines of which none is a reading, and read them once their columns are chosen', async () => {
    const logger = await lineLogger();
    logger.print('A0: 513 mV 12.6V ok', 50);
    const daemon = await startBuilt(`serial:${logger.path}?baud=115200`);
    const { page, context } = await visit(on.browser, daemon.url);
    const odd = page.getByRole('region', { name: 'Lines arrive, but none of them is a reading' });
    // numbers between words cannot be read, whatever is chosen: no column is offered, and none is asked for
    await odd.getByText(/^They hold numbers, but mixed with words .* Change the logger's program so that it prints/).waitFor();
    await odd.getByText('A0: 513 mV 12.6V ok').first().waitFor();
    await goTo(page, 'setup');
    await page.locator('#lines-of-the-logger details').getByText('Only the speed can be chosen now').waitFor({ state: 'attached' });
    await goTo(page, 'test');
    // they arrive: nobody is sent to the cable, and nothing is said twice
    expect(await page.locator('.notice').count()).toBe(0);
    expect(await odd.getByLabel(/^Column/).count()).toBe(0);
    // numbers with their names before them are offered, their use by the units behind them
    logger.print('T=21C I=2.4A U=12.4V', 50);
    await odd.getByLabel(/^Column 2, now "I=2.4A"/).waitFor();
    expect(await odd.getByLabel(/^Column 2/).inputValue()).toBe('current:A');
    await odd.getByRole('button', { name: 'Use these columns' }).click();
    await page.locator('.big-current .big-digits').getByText('2.40').waitFor();
    await odd.waitFor({ state: 'detached' });
    logger.print('1,21.5,750,12.4,7', 50);
    await odd.getByText('1,21.5,750,12.4,7').first().waitFor();
    await odd.getByLabel(/^Column 5/).waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(await odd.getByRole('button', { name: 'Use these columns' }).isDisabled()).toBe(true);
    await odd.getByLabel(/^Column 3/).selectOption('current in mA');
    await odd.getByLabel(/^Column 4/).selectOption('voltage in V');
    await odd.getByRole('button', { name: 'Use these columns' }).click();
    await page.locator('.big-current .big-digits').getByText('0.75').waitFor();
    await odd.waitFor({ state: 'detached' });
    await context.close();
    await daemon.close();
    logger.close();
  });

  it('refuse a zero while current flows, while the reading moves, while volts are at the motor and beyond the stated zero error; tick nothing, and say why where it was asked for', async () => {
    const logger = await lineLogger();
    logger.print(() => `${(2.37 + 0.05 * Math.random()).toFixed(3)},12.4`, 20);
    const daemon = await startBuilt(`serial:${logger.path}`);
    const { page, context } = await visit(on.browser, daemon.url);
    await goTo(page, 'setup');
    const check = page.getByRole('region', { name: 'Sensor check' });
    const zero = check.getByRole('listitem').filter({ has: page.getByRole('heading', { name: 'Zero' }) });
    await page.locator('.big-current .big-digits').waitFor();
    const asked = async (): Promise<string> => {
      await zero.getByRole('button', { name: 'Set zero' }).click();
      return (await zero.getByRole('status').textContent()) ?? '';
    };
    const refusedWith = async (why: RegExp): Promise<void> => {
      await expect
        .poll(async () => {
          const said = await asked();
          expect(await zero.getByRole('button', { name: 'Clear it' }).count()).toBe(0);
          return said;
        }, { timeout: 60_000 })
        .toMatch(why);
    };
    // a motor that runs, by a lead of which nobody knows where it sits
    await refusedWith(/^Zero not set: the reading is 2\.\d+ A, and a zero error of this sensor is at most 600 mA/);
    // no volts: the lead sits at the motor. A clamp that is being moved drifts by 25 mA a second
    let count = 0;
    logger.print(() => `${(0.0005 * count++).toFixed(4)},0`, 20);
    await refusedWith(/^Zero not set: the reading moves by/);
    logger.print('0.010,12.4', 20);
    await refusedWith(/^Zero not set: there are 12\.4 V at the motor/);
    await check.getByLabel('Largest zero error, from the data sheet').fill('0.05');
    await check.getByLabel('Largest zero error, from the data sheet').blur();
    logger.print('0.200,0', 20);
    await refusedWith(/^Zero not set: the reading is 200 mA, and a zero error of this sensor is at most 50\.0 mA/);
    logger.print('0.010,0', 20);
    await expect.poll(asked, { timeout: 60_000 }).toMatch(/^Zero set: /);
    await zero.getByRole('button', { name: 'Clear it' }).waitFor();
    await context.close();
    await daemon.close();
    logger.close();
  });

  it('sound when the parked vehicle wakes, keep the screen on while they record, and say what to set', async () => {
    const daemon = await startBuilt('sim:van-telematics?speed=120');
    const { page, context, faults } = await visit(on.browser, daemon.url);
    // a page has no ears: what it would sound is counted, and whether it asked for a screen that stays on
    await context.addInitScript(() => {
      const asked = { tones: 0, lock: 'none' };
      Object.assign(window, { asked });
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (...when: [number?]) {
        asked.tones++;
        start.apply(this, when);
      };
      const lock = Object.assign(new EventTarget(), {
        release: async () => {
          asked.lock = 'released';
        },
      });
      Object.defineProperty(navigator, 'wakeLock', {
        value: {
          request: async (of: string) => {
            asked.lock = of;
            return lock;
          },
        },
      });
    });
    await page.reload();
    const asked = (): Promise<{ tones: number; lock: string }> => page.evaluate(() => (window as unknown as { asked: { tones: number; lock: string } }).asked);
    const watch = page.getByRole('region', { name: 'Night watch' });
    await watch.getByText('in its power settings set sleep to "never"').waitFor();
    expect(await asked()).toEqual({ tones: 0, lock: 'none' });
    await watch.getByRole('button', { name: 'Sound off' }).click();
    await watch.getByRole('button', { name: 'Sound on' }).waitFor();
    // as proof that it can be heard
    expect((await asked()).tones).toBeGreaterThan(0);
    await page.getByRole('button', { name: 'Record', exact: true }).click();
    await watch.getByText('This screen stays on while it records.').waitFor();
    expect((await asked()).lock).toBe('screen');
    // on every screen of the page
    await goTo(page, 'setup');
    expect((await asked()).lock).toBe('screen');
    await goTo(page, 'test');
    // its telematics wake every ten minutes
    await watch.locator('div', { hasText: 'Woken' }).locator('dd', { hasText: /(once|times), at [\d:]+(, [\d:]+)* of the recording$/ }).first().waitFor({ timeout: 90_000 });
    expect((await asked()).tones).toBeGreaterThan(1);
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await expect.poll(async () => (await asked()).lock).toBe('released');
    expect(faults).toEqual([]);
    await context.close();
    await daemon.close();
  });
});
