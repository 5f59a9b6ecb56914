import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { register } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ComponentChildren, VNode } from 'preact';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Words } from '../../src/core/present/words.ts';
import { markedLanguage, OPEN, outsideMarks } from './marked.ts';

// the program is loaded after these, and speaks the other language wherever it speaks
Object.assign(globalThis, { otherLanguage: markedLanguage });
register('./hook.mjs', import.meta.url);

const folder = mkdtempSync(join(tmpdir(), 'amptrail-language-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const jam = join(folder, 'jam.csv');
const healthy = join(folder, 'healthy.csv');
const night = join(folder, 'night');

async function call(...args: string[]): Promise<string> {
  const { runCli } = await import('../../src/cli/run.ts');
  let said = '';
  const code = await runCli(args, { out: (text) => (said += text), err: (text) => (said += text), signal: new AbortController().signal, progress: false });
  expect(code, said).toBeLessThanOrEqual(2);
  return said;
}

/** What is nobody's sentence: the program's name, words of a call, names of files and of the fields of files. */
const NOT_WORDS = /amptrail|\/\S*|--?[\w-]+|<[^>]*>|\[[^\]]*\]|\b(?:analyse|csv|jam|healthy|night|mini|min|ohm|VIN|version)\b/g;
const wordsLeft = (text: string): string[] => outsideMarks(text).replace(NOT_WORDS, ' ').match(/\p{L}{3,}/gu) ?? [];
/** A figure with an English point: no version, no part of a call. */
const points = (text: string): string[] => text.split('\n').filter((line) => /(?<![\w./-])\d+\.\d+(?![\w.-])/.test(line.replace(/amptrail \d+\.\d+\.\d+|--[\w-]+ \S+/g, '')));

/** one press each way */
const SHORT_S = 8;

beforeAll(async () => {
  for (const [scenario, path] of [['side-step-jam', jam], ['side-step-healthy', healthy]] as const) {
    await call('simulate', scenario, '--out', path, '--seed', '5');
    writeFileSync(path, readFileSync(path, 'utf8').split('\n').filter((line) => !(Number.parseFloat(line) > SHORT_S)).join('\n'));
  }
  await call('simulate', 'van-quick-drain', '--out', night, '--seed', '5');
});

describe('a second language', () => {
  it('is refused by the compiler where a sentence is missing, whichever it is', () => {
    const incomplete = (en: Words): readonly Words[] => {
      const { stalled, ...findings } = en.findings;
      const { drainGuide, ...test } = en.screens.test;
      const { displayHelp, ...run } = en.cli.results.run;
      expect([stalled, drainGuide, displayHelp]).toBeDefined();
      return [
        // @ts-expect-error one finding has no words
        { ...en, findings },
        // @ts-expect-error one file of a screen has none
        { ...en, screens: { ...en.screens, test } },
        // @ts-expect-error one sentence of the command line is missing
        { ...en, cli: { ...en.cli, results: { ...en.cli.results, run } } },
      ];
    };
    expect(incomplete).toBeTypeOf('function');
  });

  it.each([
    ['a motor test', () => call('analyse', jam, '--test', 'actuation', '--commutations', '8', '--wire', '16awg:6:40', '--fuse', '7.5', '--run-limits', '3.5:5', '--limit', '4.5', '--bandwidth', '1000', '--zero-doubt', '0.02')],
    ['a key-off test', () => call('analyse', night, '--test', 'drain', '--battery-ah', '62.5', '--rested-volts', '12.4')],
    ['a comparison', () => call('compare', jam, healthy, '--test', 'actuation')],
    ['traces side by side', () => call('compare', jam, healthy, jam, '--test', 'actuation')],
    ['a list of fuses', () => {
      const list = join(folder, 'fuses.csv');
      writeFileSync(list, 'label,type,rating_a,mv\nF1,mini,7.5,2.1\nF2,mini,10,0.3\n');
      return call('fuse-drop', list, '--battery-a', '0.5');
    }],
    ['what is left of a complaint', () => {
      const complaint = join(folder, 'complaint.json');
      writeFileSync(complaint, JSON.stringify({ test: 'actuation', signs: { 'no-sound': 'yes' }, results: [], readings: [{ point: 'fuse-out', v: 12.34, while: 'pressed' }] }));
      return call('next', complaint);
    }],
    ['a complaint that cannot be read', () => {
      const complaint = join(folder, 'wrong.json');
      writeFileSync(complaint, JSON.stringify({ test: 'actuation', readings: [{ point: 'roof', v: 12.34 }] }));
      return call('next', complaint);
    }],
    ['the help', async () => ((await call('--help')) + (await call('analyse', '--help'))).replace(/^ {2}[\w-]+ /gm, ' ')],
    ['a call with a word too many', async () => (await call('analyse', jam, '--loud')) + (await call('analyse')) + (await call('sensor'))],
  ])('is spoken by the command line: %s', async (_name, said) => {
    const text = await said();
    expect(text).toContain(OPEN);
    expect([wordsLeft(text), points(outsideMarks(text))]).toEqual([[], []]);
  });

  it('is spoken by the page to print, with its own decimal mark', async () => {
    const file = join(folder, 'report.html');
    await call('report', jam, healthy, '--test', 'actuation', '--out', file);
    const page = readFileSync(file, 'utf8').replace(/<(style|script)[^]*?<\/\1>/g, '').replace(/<[^>]*>/g, '\n').replace(/&#?\w+;/g, ' ');
    expect(page).toMatch(/\d,\d/);
    expect([wordsLeft(page), points(page)]).toEqual([[], []]);
  });

  it('is spoken by the reading card, with its own decimal mark', async () => {
    const { analyseActuation } = await import('../analyse.ts');
    const { ReadingCard } = await import('../../web/reading/reading-card.tsx');
    const { SCENARIOS } = await import('../../src/simulate/scenarios.ts');
    const { simulateSteps } = await import('../../src/simulate/run.ts');
    const steps = simulateSteps(SCENARIOS.find(({ name }) => name === 'side-step-jam')!, 5, SHORT_S);
    let step = steps.next();
    while (!step.done) step = steps.next();
    const { trace } = step.value;
    const card = spoken(ReadingCard({ result: analyseActuation(trace, { runLimitsA: [3.5, 5] }), waiting: '' }));
    expect(card).toMatch(/\d,\d A/);
    expect([wordsLeft(card), points(card)]).toEqual([[], []]);
  });
});

/** What a tree of elements says: its texts, and those that are read out. */
function spoken(node: ComponentChildren): string {
  if (Array.isArray(node)) return node.map(spoken).join('\n');
  if (typeof node === 'string' || typeof node === 'number') return String(node);
  if (typeof node !== 'object' || node === null || !('type' in node)) return '';
  const { type, props } = node as VNode<Record<string, unknown>>;
  if (typeof type === 'function') return spoken((type as (given: object) => ComponentChildren)(props));
  return [props['title'], props['aria-label'], spoken(props['children'] as ComponentChildren)].filter((text) => typeof text === 'string').join('\n');
}
