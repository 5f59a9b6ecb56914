import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../src/core/analysis/actuation/analyse.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { decodeSampleFrame } from '../../src/core/wire/sample-frame.ts';
import { openTrace } from '../../src/daemon/store/trace-reader.ts';
import { findScenario } from '../../src/simulate/scenarios.ts';
import { blockAt, startStand, type Stand, type TestPage } from './stand.ts';

function seen(page: TestPage): number {
  return page.frames.reduce((sum, frame) => sum + frame.timeS.length, 0);
}

/** Sends blocks one after the other, each once the page has the one before, so that none is reduced. */
async function feed(stand: Stand, page: TestPage, blocks: readonly SampleBlock[]): Promise<void> {
  let expected = seen(page);
  for (const block of blocks) {
    stand.source.send(block);
    expected += block.timeS.length;
    // eslint-disable-next-line no-loop-func
    await page.until(() => seen(page) >= expected);
  }
}

describe('live samples', () => {
  it('reach several pages as the same bytes, without loss and in order', async () => {
    const stand = await startStand();
    const pages = await Promise.all([stand.page(), stand.page(), stand.page()]);
    const blocks = Array.from({ length: 20 }, (_, i) => blockAt(i * 0.05, 50));
    await feed(stand, pages[0]!, blocks);
    await Promise.all(pages.map((page) => page.until(() => seen(page) === 1000)));
    for (const page of pages) {
      expect(page.rawFrames).toEqual(pages[0]!.rawFrames);
      expect(page.frames.map(({ sequence }) => sequence)).toEqual(page.frames.map((_, i) => i));
      expect(page.frames.every(({ reduced }) => !reduced)).toBe(true);
    }
    expect(pages[0]!.frames.flatMap((frame) => Array.from(frame.timeS))).toEqual(blocks.flatMap((block) => Array.from(block.timeS)));
  });
});
