import { describe, expect, it } from 'vitest';
import { BlockClock, type PlacedBlock } from '../../../src/core/decode/block-clock.ts';
import { blockLine, countingBlock, helloLine, openDecoder, seeded, virtualLogger } from './kit.ts';
import { frameLine } from './encode.ts';

/** USB hands lines over in bunches of 16 ms (latency timer of common bridges); now and then the computer pauses for 100 ms. */
function usbLateness(seed: number): (k: number) => number {
  const random = seeded(seed);
  return () => 0.001 + 0.016 * random() + (random() < 0.01 ? 0.1 : 0);
}

describe('the place of a block, by its own numbers', () => {
  /** a clock of 1000 Hz that is given blocks of 100 samples, each on the line a tenth of a second after its last sample */
  function given(floorS = -Infinity) {
    const clock = new BlockClock(1000);
    const place = (seq: number, deviceUs: number, arrivalS = deviceUs / 1e6 + 0.2): PlacedBlock[] => clock.place({ seq, deviceUs, count: 100, counts: new Int16Array(100), layout: {} as never }, arrivalS, floorS);
    const inRow = (count: number, fromSeq = 0, fromUs = 0): void => {
      for (let k = 0; k < count; k += 1) place(fromSeq + k, fromUs + k * 100_000);
    };
    return { clock, place, inRow };
  }

  it('is later than what was given out before the first, with a gap in between', () => {
    expect(given().place(0, 0, 1)).toMatchObject([{ gapFromS: null, startS: expect.closeTo(0.9, 9) }]);
    const [after] = given(5).place(0, 0, 1);
    expect(after!.gapFromS).toBe(5);
    // two samples behind what was given out, and 2 % of the block for the clock
    expect(after!.startS).toBeCloseTo(5.004, 9);
    // a block that comes before it can have been sampled: its tenth of a second, and 2 % for the clock, begin with the start
    expect(given().place(0, 0, 0.05)[0]!.startS).toBeCloseTo(0.002, 9);
  });

  it('follows the one before up to a quarter of a block late while the pace is learnt, then to a twentieth', () => {
    // half a sample, 500 us, and 50 us on top: 25,550 and 5,550 us
    const gapAfter = (pairs: number, lateUs: number, ahead = 1): boolean => {
      const { place, inRow } = given();
      inRow(pairs + 1, 40);
      return place(40 + pairs + ahead, (pairs + 1) * 100_000 + lateUs)[0]!.gapFromS !== null;
    };
    expect([gapAfter(0, 25_550), gapAfter(0, 25_551), gapAfter(0, -25_550)]).toEqual([false, true, false]);
    expect([gapAfter(10, 5_550), gapAfter(10, 5_551)]).toEqual([false, true]);
    // one whose number leaps is held to a twentieth from the first
    expect([gapAfter(0, 5_550, 2), gapAfter(0, 5_551, 2)]).toEqual([false, true]);
  });

  it('of one sample is kept back at the time of the last one, and follows a gap a microsecond later', () => {
    const second = (deviceUs: number): (number | null)[] => {
      const clock = new BlockClock(1000);
      const single = { count: 1, counts: new Int16Array(1), layout: {} as never };
      clock.place({ ...single, seq: 0, deviceUs: 0 }, 1, -Infinity);
      return clock.place({ ...single, seq: 1, deviceUs }, 1.001, -Infinity).map(({ gapFromS }) => gapFromS);
    };
    // 0.8 ms either way of its 1 ms would be no gap: half a sample, a quarter of the block and 50 us
    expect([second(0), second(1), second(200)]).toEqual([[], [expect.closeTo(0.999, 9)], [null]]);
  });

  it('is counted as lost by its number, and as a new beginning when two that cannot be follow each other', () => {
    const lost = given();
    lost.inRow(3, 0, 50e6);
    lost.place(7, 50.7e6);
    expect([lost.clock.lostBlocks, lost.clock.refused, lost.clock.restarts]).toEqual([4, 0, 0]);
    // begun anew in the middle of its numbers, an hour later by the computer's clock
    const anew = given();
    anew.inRow(3, 2000, 50e6);
    expect(anew.place(1000, 0, 60)).toEqual([]);
    expect(anew.place(1001, 100_000, 60.1)).toHaveLength(2);
    expect([anew.clock.lostBlocks, anew.clock.refused, anew.clock.restarts]).toEqual([0, 0, 1]);
    // the same, but further on in its numbers: blocks 3 to 9 are missing
    const further = given();
    further.inRow(3, 0, 50e6);
    further.place(10, 0, 60);
    expect(further.place(11, 100_000, 60.1)).toHaveLength(2);
    expect([further.clock.lostBlocks, further.clock.restarts]).toEqual([7, 0]);
    // what is kept back is its own, whatever becomes of the memory it came in
    const lent = Int16Array.of(1, 2);
    const kept = given();
    kept.inRow(3, 2000, 50e6);
    kept.clock.place({ seq: 1000, deviceUs: 0, count: 100, counts: lent, layout: {} as never }, 60, -Infinity);
    lent.fill(9);
    expect(kept.place(1001, 100_000, 60.1)[0]!.block.counts).toEqual(Int16Array.of(1, 2));
    // one that nothing follows is refused
    const odd = given();
    odd.inRow(3, 0, 50e6);
    odd.place(1000, 0, 60);
    odd.clock.interrupt();
    expect(odd.clock.refused).toBe(1);
  });

  it('gives a moment of the logger\'s clock a time within five seconds of its arrival, not before the start', () => {
    const { clock, place } = given();
    expect(clock.timeOf(0, 1)).toBeNull();
    // its last sample at 1.1 s of its clock was taken when it came, at 1.1 s
    place(0, 1e6, 1.1);
    expect([clock.timeOf(0, 1), clock.timeOf(1e6, 1), clock.timeOf(1e6, 5.9), clock.timeOf(1e6, 6.1)]).toEqual([expect.closeTo(0, 12), expect.closeTo(1, 12), expect.closeTo(1, 12), null]);
  });
});

describe('the clock of framed blocks', () => {
  it.each([-0.005, -0.0005, 0, 0.0005, 0.005])('has the drift of a resonator that is %d off removed after a minute', (fast) => {
    // ceramic resonators of cheap boards: ±0.5 % (common datasheet figure, from memory)
    const { decoder, all } = openDecoder();
    const logger = virtualLogger({ fast, lateS: usbLateness(3) });
    decoder.line(helloLine(), 0);
    const blocks = 20 * 180;
    for (let k = 0; k < blocks; k += 1) logger.send(decoder, k);
    expect(all.timeS).toHaveLength(blocks * 50);
    expect(all.gaps).toEqual([]);
    let worstS = 0;
    for (let n = 60_000; n < all.timeS.length; n += 1) worstS = Math.max(worstS, Math.abs(all.timeS[n]! - logger.trueS(n)));
    expect(worstS).toBeLessThan(0.006);
    const clock = decoder.clock()!;
    expect(Math.abs(clock.driftPpm - fast * 1e6)).toBeLessThan(Math.max(30, 2 * clock.driftUncertaintyPpm));
    expect(clock.driftUncertaintyPpm).toBeLessThan(60);
    expect(clock.rateHz / 1000).toBeCloseTo(1 + fast, 3);
    expect(clock.jitterS).toBeGreaterThan(0.003);
    expect(clock.jitterS).toBeLessThan(0.02);
  });

  it('that runs on an RC oscillator 8 % off is still brought back to the computer\'s time', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger({ fast: -0.08, lateS: usbLateness(4) });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 20 * 180; k += 1) logger.send(decoder, k);
    expect(Math.abs(all.timeS.at(-1)! - logger.trueS(all.timeS.length - 1))).toBeLessThan(0.01);
    expect(all.gaps).toEqual([]);
  });

  it('keeps samples evenly spaced, whatever the bunching of the arrivals', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger({ fast: 0.003, lateS: usbLateness(5) });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 20 * 60; k += 1) logger.send(decoder, k);
    let leastS = Infinity;
    let mostS = 0;
    for (let n = 1; n < all.timeS.length; n += 1) {
      leastS = Math.min(leastS, all.timeS[n]! - all.timeS[n - 1]!);
      mostS = Math.max(mostS, all.timeS[n]! - all.timeS[n - 1]!);
    }
    expect(leastS).toBeGreaterThan(0.00095);
    expect(mostS).toBeLessThan(0.00105);
  });

  it('goes on over the turn of its 32 bits', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger({ startUs: 2 ** 32 - 1_000_000 });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 60; k += 1) logger.send(decoder, k);
    expect(all.gaps).toEqual([]);
    expect(all.timeS).toHaveLength(3000);
    expect(all.timeS[2999]! - all.timeS[0]!).toBeCloseTo(2.999, 3);
    expect(decoder.damage.restarts).toBe(0);
  });

  it('goes on over a turn that nobody saw: three hours unplugged are three hours of gap', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger({ fast: 0.004 });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 200; k += 1) logger.send(decoder, k);
    decoder.reopened();
    const back = 3 * 3600 * 20;
    decoder.line(helloLine(), logger.arrivalS(back) - 0.01);
    for (let k = back; k < back + 20; k += 1) logger.send(decoder, k);
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS).toBeGreaterThan(3 * 3600 / 1.004 - 30);
    expect(all.gaps[0]!.endS).toBeLessThan(3 * 3600 / 1.004 + 60);
    expect(decoder.damage).toMatchObject({ restarts: 0, lostBlocks: back - 200 });
  });

  it('goes on over the turn of a 16-bit and of a 32-bit block count', () => {
    for (const startSeq of [2 ** 32 - 3, 0]) {
      const { decoder, all } = openDecoder();
      const logger = virtualLogger({ startSeq });
      decoder.line(helloLine(), 0);
      for (let k = 0; k < 10; k += 1) decoder.line(startSeq === 0 ? blockLine((65_530 + k) % 65_536, k * 50_000, countingBlock(k * 50, 50)) : logger.line(k), logger.arrivalS(k));
      expect(all.timeS).toHaveLength(500);
      expect(all.gaps).toEqual([]);
      expect(decoder.damage).toMatchObject({ lostBlocks: 0, restarts: 0 });
    }
  });

  it('counts lost blocks from the block count and leaves their time open', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 100; k += 1) if (k < 40 || k >= 47) logger.send(decoder, k);
    expect(decoder.damage.lostBlocks).toBe(7);
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS - all.gaps[0]!.startS).toBeCloseTo(7 * 0.05 + 0.001, 4);
    expect(all.timeS).toHaveLength(93 * 50);
  });

  it('sees samples the logger itself left out, although no block is missing', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 30; k += 1) decoder.line(blockLine(k, k * 50_000 + (k >= 20 ? 400_000 : 0), countingBlock(k * 50, 50)), logger.arrivalS(k) + (k >= 20 ? 0.4 : 0));
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.endS - all.gaps[0]!.startS).toBeCloseTo(0.401, 3);
    expect(decoder.damage).toMatchObject({ lostBlocks: 0, restarts: 0, malformed: 0 });
  });

  it('after a restart of the logger goes on with the same trace time, and loses no block', () => {
    const { decoder, all } = openDecoder();
    const before = virtualLogger({ startSeq: 5000, startUs: 250_000_000 });
    const after = virtualLogger({ bootS: 12 });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 200; k += 1) before.send(decoder, k);
    decoder.line('\u0000\u00ffgarb', 11);
    decoder.line(helloLine(), 12);
    for (let k = 0; k < 200; k += 1) after.send(decoder, k);
    expect(all.timeS).toHaveLength(400 * 50);
    expect(all.gaps).toHaveLength(1);
    expect(all.gaps[0]!.startS).toBeCloseTo(10.1, 2);
    expect(all.gaps[0]!.endS).toBeCloseTo(12, 1);
    expect(decoder.damage).toMatchObject({ restarts: 1, lostBlocks: 0, malformed: 1 });
  });

  it('tells a restart without any hello, in mid-stream', () => {
    const { decoder, all } = openDecoder();
    const before = virtualLogger({ startSeq: 77, startUs: 2 ** 31 });
    const after = virtualLogger({ bootS: 6 });
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 100; k += 1) before.send(decoder, k);
    for (let k = 0; k < 100; k += 1) after.send(decoder, k);
    expect(all.timeS).toHaveLength(200 * 50);
    expect(decoder.damage).toMatchObject({ restarts: 1, malformed: 0 });
  });

  it('refuses a single block whose time is absurd, and the trace is as if it had been lost', () => {
    for (const absurdUs of [0, 3_000_000_000, 1_250_000 + 3_600_000_000, 12]) {
      const { decoder, all } = openDecoder();
      const logger = virtualLogger({ startUs: 1_000_000 });
      decoder.line(helloLine(), 0);
      for (let k = 0; k < 60; k += 1) {
        if (k === 30) decoder.line(blockLine(k, absurdUs, countingBlock(k * 50, 50)), logger.arrivalS(k));
        else logger.send(decoder, k);
      }
      expect(all.timeS).toHaveLength(59 * 50);
      expect(all.timeS.at(-1)! - all.timeS[0]!).toBeCloseTo(2.999, 3);
      expect(all.gaps).toHaveLength(1);
      expect(decoder.damage).toMatchObject({ malformed: 1, restarts: 0, lostBlocks: 0 });
    }
  });

  it('gives nothing, but counts, when every block has an absurd time', () => {
    const { decoder, all } = openDecoder();
    const random = seeded(9);
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 500; k += 1) decoder.line(blockLine(k, Math.floor(random() * 2 ** 32), countingBlock(0, 50)), 0.1 + k * 0.05);
    expect(all.timeS.length).toBeLessThan(500);
    expect(all.timeS.at(-1)!).toBeLessThan(26);
    expect(decoder.damage.malformed).toBeGreaterThan(450);
  });

  it('drops a block sent twice', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    for (let k = 0; k < 20; k += 1) {
      logger.send(decoder, k);
      if (k === 9) logger.send(decoder, k);
    }
    expect(all.timeS).toHaveLength(1000);
    expect(all.gaps).toEqual([]);
    expect(decoder.damage).toMatchObject({ malformed: 1, lostBlocks: 0, restarts: 0 });
  });

  it('learns the true sample period where the declared rate is a little off', () => {
    const { decoder, all } = openDecoder();
    decoder.line(helloLine({}, 1000), 0);
    for (let k = 0; k < 200; k += 1) decoder.line(blockLine(k, Math.round(k * 50 * 1020), countingBlock(k * 50, 50)), 0.1 + (k + 1) * 0.051);
    expect(all.gaps).toEqual([]);
    const steps = all.timeS.slice(5000, 9000).map((atS, i) => all.timeS[5001 + i]! - atS);
    expect(Math.min(...steps)).toBeGreaterThan(0.00101);
    expect(Math.max(...steps)).toBeLessThan(0.00103);
  });

  it('gives a notice its moment by the logger\'s clock, and by arrival where that cannot be', () => {
    const { decoder, all } = openDecoder();
    const logger = virtualLogger();
    decoder.line(helloLine(), 0);
    decoder.line('!0,0,mark,early*FFFF', 0.01);
    for (let k = 0; k < 20; k += 1) logger.send(decoder, k);
    decoder.line(noticeLine(20, 987_000, 'mark', 'button'), 1.15);
    decoder.line(noticeLine(20, 4_000_000_000, 'overrun', ''), 1.16);
    expect(all.notices.map((notice) => notice.code)).toEqual(['mark', 'overrun']);
    expect(all.notices[0]!.atS).toBeCloseTo(0.1 + 0.987, 2);
    expect(all.notices[1]!.atS).toBe(1.16);
    expect(decoder.damage.badCrc).toBe(1);
  });
});

function noticeLine(seq: number, deviceUs: number, code: string, text: string): string {
  return frameLine('!', `${seq},${deviceUs},${code},${text}`);
}
