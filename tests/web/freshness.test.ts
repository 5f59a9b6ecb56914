import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OLD_AFTER_S, RecordingClock, Watchdog } from '../../web/state/freshness.ts';

function watched(): { dog: Watchdog; after: (seconds: number) => void } {
  let nowMs = 1000;
  return { dog: new Watchdog(() => nowMs), after: (seconds) => (nowMs += seconds * 1000) };
}

describe('the watchdog of the page', () => {
  it('calls a reading old after two seconds without another, by its own clock', () => {
    const { dog, after } = watched();
    dog.reading();
    after(1.9);
    expect(dog.look(true)).toEqual({ state: 'fresh', ageS: 1 });
    dog.word();
    after(0.2);
    expect(dog.look(true)).toEqual({ state: 'no-readings', ageS: 2 });
    after(60);
    dog.word();
    expect(dog.look(true)).toEqual({ state: 'no-readings', ageS: 62 });
    dog.reading();
    expect(dog.look(true)).toEqual({ state: 'fresh', ageS: 0 });
  });

  it('says that the daemon is silent when nothing at all comes, or the link is down', () => {
    const { dog, after } = watched();
    dog.reading();
    expect(dog.look(false).state).toBe('no-word');
    after(90);
    expect(dog.look(true)).toEqual({ state: 'no-word', ageS: 90 });
  });

  it('has no reading before the first one, nor after another source was chosen', () => {
    const { dog } = watched();
    expect(dog.look(true)).toEqual({ state: 'no-readings', ageS: null });
    dog.reading();
    dog.forget();
    expect(dog.look(true)).toEqual({ state: 'no-readings', ageS: null });
  });

  it('waits for a logger that sends every ten seconds', () => {
    const { dog, after } = watched();
    dog.periodS = 10;
    dog.reading();
    for (let i = 0; i < 24; i++) {
      after(1);
      dog.word();
    }
    expect(dog.look(true).state).toBe('fresh');
    after(1);
    dog.word();
    expect(dog.look(true).state).toBe('no-readings');
  });

  it('never calls anything fresh that is older than its limit', () => {
    fc.assert(fc.property(fc.array(fc.record({ waitS: fc.double({ min: 0, max: 5, noNaN: true }), what: fc.constantFrom('word', 'reading') })), fc.double({ min: 0, max: 10, noNaN: true }), (steps, restS) => {
      const { dog, after } = watched();
      let sinceS = Infinity;
      for (const { waitS, what } of steps) {
        after(waitS);
        sinceS += waitS;
        if (what === 'reading') {
          dog.reading();
          sinceS = 0;
        } else dog.word();
      }
      after(restS);
      if (sinceS + restS > OLD_AFTER_S + 1e-6) expect(dog.look(true).state).not.toBe('fresh');
    }));
  });
});

describe('the clock of a recording', () => {
  it('never falls back while the same recording runs, and starts anew with the next', () => {
    const clock = new RecordingClock();
    expect(clock.elapsedS('a', 100, 112)).toBe(12);
    expect(clock.elapsedS('a', 100, null)).toBe(12);
    expect(clock.elapsedS('a', 100, 90)).toBe(12);
    expect(clock.elapsedS('b', 200, null)).toBe(0);
  });
});
