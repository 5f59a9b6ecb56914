import { describe, expect, it } from 'vitest';
import { readTimeline } from '../../../../../src/core/analysis/night/wake-ups/wake-ups.ts';
import { wakingAdds } from '../../../../../src/core/analysis/night/wake-ups/wake-rate.ts';
import type { WakeUp } from '../../../../../src/core/analysis/results.ts';
import type { FuseEvent, Readings, SleepTimeline, Stretch } from '../../../../../src/core/analysis/night/types.ts';
import type { Mark } from '../../../../../src/core/trace.ts';
import { drawn, type Drawn } from '../drawn.ts';

const mark = (timeS: number, kind: Mark['kind']): Mark => ({ kind, label: 'F1', timeS }) as Mark;
const event = (kind: FuseEvent['kind'], atS: number, markS = atS): FuseEvent => ({ kind, label: 'F1', atS, markS });
const stretch = (levelA: number, usable = true): Stretch => ({ startS: 0, endS: 0, levelA, errorA: 0, pulsesErrorA: 0, centreS: 0, blockCount: 100, roundingA: 0, highestA: levelA, usable });
interface How {
  readonly marks?: readonly Mark[];
  readonly events?: readonly FuseEvent[];
  readonly stretches?: readonly Stretch[];
  readonly restS?: number;
  readonly some?: Partial<Readings>;
}
function timeline(levels: readonly Drawn[], { marks = [], events = [], stretches = [], restS = 0, some = {} }: How = {}): SleepTimeline {
  return readTimeline(drawn(levels, some), { segment: 0, atS: restS }, { events, stretches, pulls: [] }, marks);
}
const spans = (...how: Parameters<typeof timeline>): number[][] => timeline(...how).wakeUps.map(({ start_s: startS, end_s: endS }) => [startS, endS]);
const causes = (...how: Parameters<typeof timeline>): WakeUp['cause'][] => timeline(...how).wakeUps.map(({ cause }) => cause ?? null);
/** 20 mA for ten minutes before and after. */
const woken = (...between: readonly Drawn[]): Drawn[] => [[0.02, 600], ...between, [0.02, 600]];

describe('what is above the rest', () => {
  it('is a wake-up, with its highest level and its charge', () => {
    // 500 mA for 45 s: 22.5 C
    expect(timeline(woken([0.5, 45])).wakeUps).toEqual([{ start_s: 600, end_s: 645, peak_a: expect.closeTo(0.5, 9), charge_c: expect.closeTo(22.5, 9), cause: null }]);
    expect(timeline(woken([0.5, 45])).rests.map(({ startS, endS, startBlock, endBlock, levelA }) => [startS, endS, startBlock, endBlock, Math.round(levelA * 1e6)])).toEqual([[0, 600, 0, 600, 20_000], [645, 1245, 645, 1245, 20_000]]);
    // 20 s of 1 A and 10 s of 250 mA: 22.5 C in one
    expect(timeline(woken([1, 20], [0.25, 10])).wakeUps).toEqual([{ start_s: 600, end_s: 630, peak_a: expect.closeTo(1, 9), charge_c: expect.closeTo(22.5, 9), cause: null }]);
    expect(spans([[0.02, 600], [0.5, 45]])).toEqual([[600, 645]]);
    expect(spans(woken())).toEqual([]);
  });

  it('is so by 3 mA, or a tenth of the level', () => {
    expect([0.0229, 0.0231].map((levelA) => spans(woken([levelA, 45])).length)).toEqual([0, 1]);
    expect([0.2199, 0.2201].map((levelA) => spans([[0.2, 600], [levelA, 45], [0.2, 600]]).length)).toEqual([0, 1]);
    // less than 4 s: two steps of the reading
    const hop = (stepA: number): number => spans(woken([0.028, 3]), { some: { stepA } }).length;
    expect([hop(0.0039), hop(0.0041)]).toEqual([1, 0]);
    expect(spans(woken([0.028, 4]), { some: { stepA: 0.0041 } })).toHaveLength(1);
  });

  it('lasts 1.5 s, and is one with what is less than that away', () => {
    expect([1, 2].map((lengthS) => spans(woken([0.5, lengthS])).length)).toEqual([0, 1]);
    expect([1, 2].map((lengthS) => spans(woken([0.5, 10], [0.02, lengthS], [0.5, 10])))).toEqual([[[600, 621]], [[600, 610], [612, 622]]]);
  });

  it('is counted from the rest on', () => {
    const early: Drawn[] = [[0.02, 100], [0.5, 45], [0.02, 600], [0.5, 45], [0.02, 600]];
    expect([spans(early), spans(early, { restS: 145 }), spans(early, { restS: 120 })]).toEqual([[[100, 145], [745, 790]], [[745, 790]], [[120, 145], [745, 790]]]);
  });

  it('is above what the level has become: half a minute of another level', () => {
    // 30 s of 60 mA less, then as much as it was
    const fell = (lengthS: number): number => spans([[0.1, 600], [0.04, lengthS], [0.1, 20], [0.04, 600]]).length;
    expect(fell(600)).toBe(1);
    // less than 4 s down is no level
    expect(spans([[0.1, 600], [0.04, 3], [0.1, 600]])).toEqual([]);
  });
});

describe('the cause of a wake-up', () => {
  it('is a person where they marked it, up to 12 s before and after', () => {
    const by = (atS: number, kind: Mark['kind'] = 'wake'): WakeUp['cause'] => causes(woken([0.5, 45]), { marks: [mark(atS, kind)] })[0]!;
    expect([588, 588.1, 620, 656.9, 657].map((atS) => by(atS))).toEqual([null, 'person', 'person', 'person', null]);
    expect(by(620, 'key-off' as Mark['kind'])).toBeNull();
  });

  it('is a fuse put in or pulled: 6 s from where it was seen, 12 s from its mark', () => {
    const fuse = (atS: number, markS = atS): WakeUp['cause'] => causes(woken([0.5, 45]), { events: [event('refit', atS, markS)], stretches: [stretch(0.02), stretch(0.02)] })[0]!;
    expect([fuse(594), fuse(594.1), fuse(605.9), fuse(606)]).toEqual(['fuse', 'fuse', 'fuse', 'fuse']);
    // before anybody worked at the fuses, and two minutes after
    expect([fuse(612, 612), fuse(613, 613), fuse(480, 480), fuse(481, 481)]).toEqual(['fuse', null, null, 'fuse']);
  });

  it('is not asked of the hand at the fuse: less than 4 s within 12 s of it', () => {
    const hand = (atS: number, lengthS = 3): number => timeline(woken([0.5, lengthS]), { events: [event('refit', atS)], stretches: [stretch(0.02), stretch(0.02)] }).wakeUps.length;
    expect([hand(588), hand(589), hand(611), hand(612), hand(600, 4)]).toEqual([1, 0, 0, 1, 1]);
  });

  it('is none of a fuse where it keeps the beat of the others', () => {
    const beats: Drawn[] = Array.from({ length: 5 }, (): Drawn[] => [[0.02, 555], [0.5, 45]]).flat();
    const beside = (offS: number, events: readonly FuseEvent[]): WakeUp['cause'] => causes([...beats, [0.02, 555 + offS], [0.5, 45], [0.02, 600]], { events, stretches: [stretch(0.02), stretch(0.02)] }).at(-1)!;
    // the sixth starts at 3555 s: an eighth of the period of 600 s is 75 s
    expect([0, 74, 76].map((offS) => beside(offS, [event('refit', 3555 + offS)]))).toEqual([null, null, 'fuse']);
    expect(causes([...beats, [0.02, 600]], { events: [event('refit', 555)], stretches: [stretch(0.02), stretch(0.02)] })).toEqual([null, null, null, null, null]);
  });
});

describe('what a fuse leaves', () => {
  it('is the level to which all else is compared', () => {
    const levels: Drawn[] = [[0.1, 600], [0.06, 600], [0.1, 45], [0.06, 600]];
    expect(spans(levels, { events: [event('pull', 600)], stretches: [stretch(0.1), stretch(0.06)] })).toEqual([[1200, 1245]]);
    // put back
    const back: Drawn[] = [[0.06, 600], [0.1, 600]];
    expect([spans(back, { events: [event('refit', 600)], stretches: [stretch(0.06), stretch(0.1)] }), spans(back, { events: [event('refit', 600)], stretches: [stretch(0.06), stretch(0.1, false)] })]).toEqual([[], [[600, 1200]]]);
  });

  it('leaves a rest the blocks of its own edges whole', () => {
    const readings = drawn(woken([0.5, 45]));
    const [rest, wake, after] = readings.segments;
    const segments = [{ ...rest!, endS: 599.5 }, { ...wake!, startS: 599.5, endS: 645.5 }, { ...after!, startS: 645.5 }];
    expect(timeline(woken([0.5, 45]), { some: { segments } }).rests.map(({ startBlock, endBlock }) => [startBlock, endBlock])).toEqual([[0, 600], [645, 1245]]);
  });

  it('cuts the rests where it lies', () => {
    const { rests } = timeline([[0.1, 1200]], { events: [event('pull', 600.5)], stretches: [stretch(0.1), stretch(0.1)] });
    expect(rests.map(({ startS, endS, startBlock, endBlock }) => [startS, endS, startBlock, endBlock])).toEqual([[0, 600.5, 0, 600], [600.5, 1200, 601, 1200]]);
  });
});

describe('what wake-ups add at the least', () => {
  const wake = (startS: number, endS: number, chargeC: number): WakeUp => ({ start_s: startS, end_s: endS, peak_a: 1, charge_c: chargeC, cause: null });
  it('is their mean charge at the lower bound of their rate (Garwood 1936)', () => {
    // chi-squared at 2.5 %: 0.0506356 with two degrees of freedom, 1.237344 with six (scipy.stats.chi2.ppf); half of it counts.
    // 22.5 C less 20 mA for 45 s are 21.6 C
    expect(wakingAdds([wake(0, 45, 22.5)], 0.02, 3600)).toBeCloseTo((21.6 * 0.0506356) / 2 / 3600, 9);
    expect(wakingAdds([wake(0, 45, 22.5), wake(100, 145, 12.5), wake(200, 210, 1.2)], 0.02, 3600)).toBeCloseTo((((21.6 + 11.6 + 1) / 3) * 1.237344) / 2 / 3600, 9);
    expect([wakingAdds([], 0.02, 3600), wakingAdds([wake(0, 45, 22.5)], 0.02, 0)]).toEqual([0, 0]);
  });
});
