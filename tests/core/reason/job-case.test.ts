import { describe, expect, it } from 'vitest';
import { withTimes, type AnswerKey } from '../../../src/core/reason/answered.ts';
import { SIGNS } from '../../../src/core/reason/types.ts';
import { NO_EVIDENCE } from '../../../src/core/reason/job-evidence.ts';
import { reasonJob, type JobReasoning, type JobTrace } from '../../../src/core/reason/job-case.ts';
import type { JobEvidence } from '../../../src/core/tracefile/record.ts';

const trace = (id: string, start: string, finding: string, test = 'actuation', more: object = {}): JobTrace => ({ id, name: id, start, result: { test, verdict: { finding, because: [] }, ...more } });
const EARLY = '2026-11-25T08:00:00Z';
const LATE = '2026-11-25T10:00:00Z';
const repaired = (cause: 'mechanism' | 'switch' | null): Partial<JobEvidence> => ({ repair: { cause, part: '', work: 'done', at: '2026-11-25T09:00:00Z' } });

function reasoned(evidence: Partial<JobEvidence>, traces: JobTrace[]): JobReasoning {
  const answer = reasonJob({ ...NO_EVIDENCE, ...evidence }, traces);
  if (typeof answer === 'string') throw new Error(answer);
  return answer;
}

describe('the reasoning about a job', () => {
  it('takes its kind of test from what was chosen, else the newest trace, else the signs', () => {
    expect(reasoned({}, []).test).toBe('actuation');
    expect(reasoned({ signs: { 'flat-after-standing': 'yes' } }, []).test).toBe('drain');
    expect(reasoned({ signs: { 'flat-after-standing': 'yes' } }, [trace('a', EARLY, 'stalled')]).test).toBe('actuation');
    expect(reasoned({ test: 'drain' }, [trace('a', EARLY, 'stalled')])).toMatchObject({ test: 'drain', leftOut: ['a'] });
  });

  it('takes the newest trace for the newest, in whatever order they come, and the first moment after a repair for after it', () => {
    const traces = [trace('a', EARLY, 'asleep', 'drain'), trace('b', LATE, 'stalled')];
    for (const order of [traces, traces.toReversed()]) expect(reasoned({}, order)).toMatchObject({ test: 'actuation', leftOut: ['a'] });
    const at = (start: string) => reasoned({ ...repaired('mechanism') }, [trace('a', EARLY, 'stalled'), trace('b', start, 'normal', 'actuation', { verdict: { finding: 'normal', basis: 'limits', because: [] } })]).proof?.state;
    expect([at('2026-11-25T09:00:00Z'), at('2026-11-25T08:59:59.999Z')]).toEqual(['confirmed', 'not-tested']);
    // a night recorded after the repair of a motor proves nothing of it
    expect(reasoned({ test: 'actuation', ...repaired('mechanism') }, [trace('a', EARLY, 'stalled'), trace('n', LATE, 'asleep', 'drain')])).toMatchObject({ proof: { state: 'not-tested' }, next: null, leftOut: ['n'] });
    for (const sign of ['flat-after-standing', 'new-accessory', 'battery-tested-good', 'sleeps-after-refit'] as const) expect(reasoned({ signs: { [sign]: 'no' } }, []).test).toBe('drain');
    expect(reasoned({ signs: { hums: 'yes' } }, []).test).toBe('actuation');
  });

  it('reads a trace of the motor alone as such', () => {
    const { left } = reasoned({ uncoupled: ['b'] }, [trace('a', EARLY, 'locked'), trace('b', LATE, 'normal')]);
    expect(left.causes[0]).toMatchObject({ cause: 'mechanism', state: 'open' });
    expect(left.causes.find(({ cause }) => cause === 'motor')?.state).toBe('ruled-out');
  });

  it('finds in the fuse survey which fuse carries the drain, or that none does', () => {
    const night = trace('n', EARLY, 'drain', 'drain', { asleep: { level_a: 0.4 }, limit_a: 0.05, over_limit: true });
    const survey = (...mv: number[]) => ({ battery_a: 0.4, fuses: mv.map((one, index) => ({ label: `F${index + 1}`, type: 'ato', rating_a: 10, mv: one, ohm: null })) });
    const carries = (evidence: Partial<JobEvidence>): string[] => reasoned(evidence, [night]).left.causes.flatMap(({ reasons }) => reasons.map(({ evidence: { observation } }) => observation));
    expect(carries({ fuse_survey: survey(2.9, 0, 0) })).toContain('fuse-carries');
    expect(carries({ fuse_survey: survey(0, 0, 0) })).toContain('no-fuse-carries');
    expect(carries({ fuse_survey: survey(0, 0) })).not.toContain('no-fuse-carries');
    // measured before the repair, so that it says nothing of what is after
    const repairedNight = { fuse_survey: survey(2.9, 0, 0), repair: { cause: 'circuit-stays-on' as const, part: '', work: 'done', at: '2026-11-25T09:00:00Z' } };
    expect(reasoned(repairedNight, [night, trace('after', LATE, 'asleep', 'drain', { asleep: { level_a: 0.01 }, limit_a: 0.05, over_limit: false })]).proof?.state).toBe('confirmed');
    // without the clamp's reading, with as little left over as a parked car may take, or with a fuse nobody knows, none is cleared
    const three = survey(0, 0, 0);
    expect(carries({ fuse_survey: { ...three, battery_a: null } })).not.toContain('no-fuse-carries');
    expect(carries({ fuse_survey: { ...three, battery_a: 0.05 } })).not.toContain('no-fuse-carries');
    expect(carries({ fuse_survey: { ...three, fuses: [...three.fuses, { label: 'F9', type: 'own', rating_a: 10, mv: 0, ohm: null }] } })).not.toContain('no-fuse-carries');
  });

  it.each([
    ['nothing recorded since', 'mechanism', 'stalled', null, 'not-tested'],
    ['within its limits since', 'mechanism', 'stalled', ['normal', 'limits'], 'confirmed'],
    ['runs again, nothing to judge the load by, and stood before', 'mechanism', 'stalled', ['normal', 'none'], 'confirmed'],
    ['runs as before, nothing to judge the load by', 'mechanism', 'heavy', ['normal', 'none'], 'cannot-tell'],
    ['still stalls', 'mechanism', 'stalled', ['stalled', ''], 'still-open'],
    ['works, though the list had ruled out what was repaired', 'switch', 'dead', ['normal', 'limits'], 'works-otherwise'],
    ['works, no cause named', null, 'stalled', ['normal', 'limits'], 'works'],
    ['unclear since', 'mechanism', 'stalled', ['unclear', ''], 'cannot-tell'],
  ] as const)('after a repair: %s', (_name, cause, before, after, state) => {
    const traces = [trace('a', EARLY, before), ...(after === null ? [] : [trace('b', LATE, after[0], 'actuation', { verdict: { finding: after[0], basis: after[1], because: [] } })])];
    const { proof, next } = reasoned(repaired(cause), traces);
    expect(proof?.state).toBe(state);
    if (state === 'confirmed') expect(next).toBeNull();
  });

  it('lists what the trace after a failed repair leaves', () => {
    const { left, proof } = reasoned(repaired('mechanism'), [trace('a', EARLY, 'stalled'), trace('b', LATE, 'dead')]);
    expect(proof?.state).toBe('still-open');
    expect(left.causes.find(({ cause }) => cause === 'mechanism')?.state).toBe('ruled-out');
  });

  it('asks anew after a failed repair for what was answered before it, never for what was answered since, and comes to an end', () => {
    for (const since of ['stalled', 'locked', 'heavy', 'intermittent', 'dead', 'starved', 'unclear']) {
      const old = Object.fromEntries(SIGNS.map((sign) => [sign, 'no'] as const));
      const evidence = { ...repaired('mechanism'), signs: { ...old } as Record<string, 'yes' | 'no'>, answered: { hums: '2026-11-25T08:59:59Z' } as Record<string, string> };
      const asked: string[] = [];
      for (let turn = 0; turn < 30; turn += 1) {
        const { next } = reasoned(evidence, [trace('a', EARLY, 'stalled'), trace('b', LATE, since)]);
        if (next?.kind !== 'check') break;
        const { code, outcomes } = next.check;
        const { signs } = outcomes[0]!.after({ test: 'actuation', signs: {}, seen: [], readings: [] });
        const [sign] = Object.keys(signs);
        // a recording, or volts, which this bench does not take
        if (sign === undefined) break;
        expect(asked, since).not.toContain(code);
        asked.push(code);
        evidence.signs[sign] = 'no';
        evidence.answered[sign] = '2026-11-25T09:30:00Z';
      }
      expect(asked.length, since).toBeLessThan(SIGNS.length);
    }
    // hums counts where it was answered at the time of the repair or later
    const hums = (answered: JobEvidence['answered']): readonly string[] => {
      const { left } = reasoned({ ...repaired('mechanism'), signs: { hums: 'yes' }, answered }, [trace('a', EARLY, 'stalled'), trace('b', LATE, 'stalled')]);
      return left.causes.flatMap(({ reasons }) => reasons.map(({ evidence: { observation } }) => observation)).filter((one) => one === 'hums:yes');
    };
    expect(hums({})).toEqual([]);
    expect(hums({ hums: '2026-11-25T08:00:00Z' })).toEqual([]);
    expect(hums({ hums: '2026-11-25T09:00:00Z' }).length).toBeGreaterThan(0);
  });

  it('keeps when something was answered: what changed, what was given again, and nothing else', () => {
    const before = { ...NO_EVIDENCE, signs: { hums: 'yes', 'no-sound': 'no' }, readings: [{ point: 'battery', v: 12.6, while: 'pressed' }], answered: { hums: EARLY } } as const;
    const at = '2026-11-25T10:00:00Z';
    const times = (changes: Partial<JobEvidence>, again: readonly AnswerKey[] = []): unknown => withTimes(before as unknown as JobEvidence, changes, at, again).answered;
    expect(times({ signs: { hums: 'yes', 'no-sound': 'yes' } })).toEqual({ hums: EARLY, 'no-sound': at });
    expect(times({ signs: before.signs }, ['hums'])).toEqual({ hums: at });
    expect(times({ readings: [{ point: 'battery', v: 12.6, while: 'pressed' }, { point: 'motor-plus', v: 9, while: 'pressed' }] })).toEqual({ hums: EARLY, 'motor-plus/pressed': at });
    expect(times({ signs: { 'no-sound': 'no' } })).toBeUndefined();
    expect(times({ repair: null })).toBeUndefined();
  });

  it('asks first for a check of which each result leaves other causes, then for one that only moves their weight', () => {
    const ran = [trace('a', EARLY, 'normal', 'actuation', { verdict: { finding: 'normal', basis: 'none', because: [] } })];
    const decides = (signs: JobEvidence['signs']): string[] => {
      const { next } = reasoned({ signs }, ran);
      return (next?.decides ?? []).map(({ leaves }) => [...leaves].sort().join());
    };
    for (const signs of [{}, { 'one-way-only': 'no' }, { 'one-way-only': 'no', 'moves-a-little': 'yes' }] as JobEvidence['signs'][]) expect(new Set(decides(signs)).size, JSON.stringify(signs)).toBeGreaterThan(1);
  });
});
