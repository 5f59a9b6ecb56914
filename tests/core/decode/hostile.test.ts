import { describe, expect, it } from 'vitest';
import { blockLine, bytesOf, countingBlock, helloLine, openDecoder, seeded } from './kit.ts';
import { frameLine } from './encode.ts';

/**
 * A long bad day on the line, made of a seed: a stream of one of three kinds in which counts and clocks leap, the logger restarts, the
 * connection is reopened, hours pass, lines are cut, garbled or endless. The sink itself refuses falling times and values that are no
 * numbers; here the trace's time must also stay with the computer's.
 */
function badDay(seed: number): { largestLeadS: number; samples: number; damage: readonly number[] } {
  const random = seeded(seed);
  const whole = (end: number): number => Math.floor(random() * end);
  const kind = (['blocks', 'plain', 'timed'] as const)[whole(3)]!;
  const columns = { blocks: null, plain: [null, 'current:mA', 'current=1'][whole(3)]!, timed: ['time:ms,current:mA', 'time,current', 'time:us,current', null][whole(4)]! }[kind];
  const { decoder, all } = openDecoder(columns);
  const rateHz = [100, 1000, 10_000][whole(3)]!;
  const blockSamples = 1 + whole(60);
  let nowS = whole(5);
  let seq = whole(10);
  let us = random() < 0.3 ? 2 ** 32 - whole(3e6) : whole(1e6);
  let clockMs = whole(1e5);
  let largestLeadS = 0;
  for (let step = 0; step < 800; step += 1) {
    let line: string;
    if (kind === 'plain') line = (random() * 10).toFixed(2);
    else if (kind === 'timed') line = `${Math.floor(clockMs)},${(random() * 10).toFixed(2)}`;
    else if (step === 0 || random() < 0.02) line = helloLine(random() < 0.2 ? { rate_hz: rateHz * (0.5 + random()) } : {}, rateHz);
    else line = blockLine(seq, Math.round(us), countingBlock(step * blockSamples, blockSamples));
    seq += 1;
    us = (us + (blockSamples * 1e6) / rateHz) % 2 ** 32;
    clockMs += 1000 / rateHz;
    nowS += kind === 'blocks' ? blockSamples / rateHz : 1 / rateHz;
    const fate = random();
    if (fate < 0.01) seq = whole(2 ** 32);
    else if (fate < 0.02) us = whole(2 ** 32);
    else if (fate < 0.03) nowS += random() * 10;
    else if (fate < 0.035) nowS += random() * 5e4;
    else if (fate < 0.045) {
      seq = 0;
      us = whole(1e5);
      clockMs = whole(1000);
      nowS += random() * 3;
    } else if (fate < 0.05) decoder.reopened();
    else if (fate < 0.07) line = frameLine('!', `${seq},${whole(2 ** 32)},x,${line}`);
    else if (fate < 0.12) {
      const at = whole(line.length + 1);
      line = line.slice(0, at) + String.fromCharCode(whole(256)) + line.slice(at + whole(5));
    } else if (fate < 0.13) line = 'x'.repeat(whole(40_000));
    else if (fate < 0.14) line = ['nan', 'inf,1', '1e99,1', '1,1,1', ',,', '-', '1;2;3'][whole(7)]!;
    decoder.tick(nowS);
    decoder.push(bytesOf(`${line}\n`), nowS);
    largestLeadS = Math.max(largestLeadS, (all.timeS.at(-1) ?? 0) - nowS);
  }
  decoder.end();
  return { largestLeadS: largestLeadS - 3 / rateHz, samples: all.timeS.length, damage: Object.values(decoder.damage) };
}

describe('a bad day on the line', () => {
  it('neither poisons the time of the trace nor stops it, whatever happens', () => {
    let samples = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const day = badDay(seed);
      // a pace measured wrongly in the first moments of plain lines is corrected before it is off by more
      expect(day.largestLeadS, `seed ${seed}`).toBeLessThan(6);
      expect(day.damage.every((count) => Number.isInteger(count) && count >= 0), `seed ${seed}`).toBe(true);
      samples += day.samples;
    }
    expect(samples).toBeGreaterThan(100_000);
  });
});
