import { describe, expect, it } from 'vitest';
import type { CalibrationRecord } from '../../../src/core/analysis/uncertainty/calibration.ts';
import { HeldCalibrations } from '../../../src/daemon/live/held-calibrations.ts';

const of = (by: string): CalibrationRecord => ({
  channel: 'current', at: '2026-11-01T08:00:00.000Z', by, temperature_c: null, due: null, zero_before: 0, zero_after: null, zero_scatter: null, zero_hours: null, points: [], shunt: null, part: null, taken_back: null,
});

/** Look-ups that are answered when the test says so. */
function slowDesk(): { held: HeldCalibrations; answer: (look: number, found: readonly CalibrationRecord[]) => Promise<void>; asked: string[]; changes: () => number } {
  const asked: string[] = [];
  const waiting: ((found: readonly CalibrationRecord[]) => void)[] = [];
  let changes = 0;
  const held = new HeldCalibrations({ find: (names) => new Promise((resolve) => void (asked.push(names.join()), waiting.push(resolve))), onChange: () => void changes++ });
  const answer = async (look: number, found: readonly CalibrationRecord[]): Promise<void> => {
    waiting[look]!(found);
    await new Promise(setImmediate);
  };
  return { held, answer, asked, changes: () => changes };
}

describe('the calibrations of the logger in use', () => {
  it('hold for that logger alone: from the moment another one says who it is, those of the one before are gone', async () => {
    const { held, answer, asked, changes } = slowDesk();
    held.use(['B7']);
    await answer(0, [of('R.')]);
    expect(held.all.map(({ by }) => by)).toEqual(['R.']);
    held.use(['B7']);
    held.use(['C9']);
    expect(held.all).toEqual([]);
    await answer(1, []);
    expect([asked, held.all, changes()]).toEqual([['B7', 'C9'], [], 2]);
  });

  it('are those of the last look-up, whichever answer comes last', async () => {
    const { held, answer } = slowDesk();
    held.use(['B7']);
    held.lookAgain();
    await answer(1, [of('new')]);
    await answer(0, [of('old')]);
    expect(held.all.map(({ by }) => by)).toEqual(['new']);
  });

  it('are waited for by a recording that begins while they are looked up', async () => {
    const { held, answer } = slowDesk();
    held.use(['B7']);
    const known = held.known();
    held.use(['C9']);
    await answer(0, [of('of the logger before')]);
    await answer(1, [of('C.')]);
    expect((await known).map(({ by }) => by)).toEqual(['C.']);
  });

  it('are others also when there are as many as before', async () => {
    const { held, answer, changes } = slowDesk();
    held.use(['B7']);
    await answer(0, [of('R.')]);
    held.lookAgain();
    await answer(1, [of('S.')]);
    expect([held.all.map(({ by }) => by), changes()]).toEqual([['S.'], 2]);
    const none = slowDesk();
    none.held.use(['B7']);
    await none.answer(0, []);
    expect(none.changes()).toBe(0);
  });
});
