import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/core/random.ts';
import { mutate } from './mutate.ts';
import { makeTargets } from './targets.ts';

const { targets, close } = await makeTargets();
const cases = join(import.meta.dirname, 'cases');

/** What a fuzz run found stays found; and a short blind run of each reader, the same at every test run. The long, guided one is tests/fuzz/main.ts. */
describe.each(targets)('the reader of $name', (target) => {
  afterAll(() => {
    if (target === targets[targets.length - 1]) close();
  });

  it('keeps its word for whole inputs and for every case that was found', async () => {
    for (const seed of target.seeds) await target.run(seed);
    for (const name of readdirSync(cases).filter((file) => file.startsWith(`${target.name}-`) && file.endsWith('.bin'))) await target.run(readFileSync(join(cases, name)));
    expect(target.seeds.length).toBeGreaterThan(0);
  });

  it('keeps its word for 150 changed inputs', async () => {
    const random = seededRandom(20_260_302);
    const seed = (): Uint8Array => target.seeds[Math.floor(random() * target.seeds.length)]!;
    let changed = 0;
    for (let round = 0; round < 150; round++) {
      const bytes = mutate(seed(), seed(), target.words, random, 60_000);
      await target.run(target.repair !== undefined && random() < 0.6 ? target.repair(bytes) : bytes);
      if (!target.seeds.some((whole) => Buffer.from(whole).equals(bytes))) changed++;
    }
    expect(changed).toBeGreaterThan(100);
  });
});
