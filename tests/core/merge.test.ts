import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mergeFields, withValue } from '../../src/core/merge.ts';

const fields = fc.dictionary(fc.constantFrom('a', 'b', 'c'), fc.oneof(fc.integer({ min: 0, max: 3 }), fc.dictionary(fc.constantFrom('x', 'y'), fc.integer({ min: 0, max: 3 })), fc.array(fc.integer({ min: 0, max: 3 }), { maxLength: 3 })));

describe('changes of two people to one job', () => {
  it('both stay where they are of different fields, signs or list entries', () => {
    const was = { note: '', vehicle: 'Van 2', signs: { hums: 'no' }, readings: [{ point: 'battery', v: 12.6 }] };
    const mine = { ...was, note: 'left door', signs: { hums: 'no', 'no-sound': 'yes' }, readings: [{ point: 'battery', v: 12.6 }, { point: 'fuse', v: 12.5 }] };
    const now = { ...was, vehicle: 'Van 3', signs: { hums: 'yes' }, readings: [{ point: 'ground', v: 0.1 }] };
    expect(mergeFields(was, mine, now)).toEqual({
      merged: { note: 'left door', vehicle: 'Van 3', signs: { hums: 'yes', 'no-sound': 'yes' }, readings: [{ point: 'ground', v: 0.1 }, { point: 'fuse', v: 12.5 }] },
      clashes: [],
    });
  });

  it('are reported where they are of one field, and theirs stays until somebody has chosen', () => {
    const was = { note: 'a', signs: {} };
    expect(mergeFields<object>(was, { note: 'mine', signs: { hums: 'no' } }, { note: 'theirs', signs: { hums: 'yes' } })).toEqual({
      merged: { note: 'theirs', signs: { hums: 'yes' } },
      clashes: [{ path: ['note'], theirs: 'theirs', mine: 'mine' }, { path: ['signs', 'hums'], theirs: 'yes', mine: 'no' }],
    });
    expect(mergeFields<object>(was, { note: 'same' }, { note: 'same' }).clashes).toEqual([]);
    expect(withValue({ note: 'theirs', signs: { hums: 'yes' } }, ['signs', 'hums'], 'no')).toEqual({ note: 'theirs', signs: { hums: 'no' } });
    expect(withValue({ signs: { hums: 'yes' } }, ['signs', 'hums'], undefined)).toEqual({ signs: {} });
  });

  it('come out whole when nobody else has changed anything, and leave theirs when I have not', () => {
    fc.assert(
      fc.property(fields, fields, (was, other) => {
        const whole = { a: 0, b: 0, c: 0, ...was };
        const changed = { a: 0, b: 0, c: 0, ...other };
        expect(mergeFields(whole, changed, whole)).toEqual({ merged: changed, clashes: [] });
        expect(mergeFields(whole, whole, changed)).toEqual({ merged: changed, clashes: [] });
      }),
    );
  });
});
