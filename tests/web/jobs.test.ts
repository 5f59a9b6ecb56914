import { describe, expect, it } from 'vitest';
import { NO_EVIDENCE } from '../../src/core/reason/job-evidence.ts';
import { NO_STORY } from '../../src/core/tracefile/job-story.ts';
import { JOB_SCHEMA, type JobRecord } from '../../src/core/tracefile/record.ts';
import { findJobs, stateOf } from '../../web/job/list/find-jobs.ts';
import { storyOf } from '../../web/job/story/story-entries.ts';

function job(more: Partial<JobRecord>): JobRecord {
  return {
    schema: JOB_SCHEMA, id: 'j', created: '2026-11-25T08:00:00Z', depot: '', vehicle: '', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '', plate: '', vin: '', odometer_km: null, customer: '',
    ...NO_EVIDENCE, ...NO_STORY, ...more,
  };
}

const AT = '2026-11-26T10:00:00Z';

describe('jobs in the list', () => {
  const jobs = [
    job({ id: 'a', vehicle: 'Minibus 4', plate: 'MT 44-X', customer: 'Millbrook transport' }),
    job({ id: 'b', vehicle: 'Van 12', closed: AT, notes: [{ at: AT, text: 'Strap frayed', removed: false }, { at: AT, text: 'wrong vehicle', removed: true }] }),
    job({ id: 'c', vehicle: 'Flatbed 2', closed: AT, archived: AT, repair: { cause: null, work: 'Winch greased', part: '', at: AT } }),
  ].map((one) => ({ job: one, traces: 0 }));
  const found = (words: string, shown: Parameters<typeof findJobs>[2] = 'all'): string[] => findJobs(jobs, words, shown).map(({ job: one }) => one.id);

  it('are open, closed or archived', () => {
    expect(jobs.map(({ job: one }) => stateOf(one))).toEqual(['open', 'closed', 'archived']);
    expect(['open', 'closed', 'archived', 'all'].map((shown) => found('', shown as 'open').join(''))).toEqual(['a', 'b', 'c', 'abc']);
  });

  it.each([
    ['a plate without its spaces', 'mt44x', 'a'],
    ['every word of several', 'millbrook minibus', 'a'],
    ['a word of a note', 'frayed', 'b'],
    ['what was done', 'winch greased', 'c'],
    ['no word of a note that was put aside', 'wrong vehicle', ''],
    ['nothing where one word is missing', 'minibus flatbed', ''],
  ])('are found by %s', (_what, words, ids) => {
    expect(found(words).join('')).toBe(ids);
  });
});

describe('the story of a job', () => {
  it('goes by time, the complaint first, and leaves out what was put aside', () => {
    const kinds = storyOf(job({
      created: '2026-11-25T12:00:00Z', closed: '2026-11-27T09:00:00Z',
      notes: [{ at: '2026-11-26T08:00:00Z', text: 'grit', removed: false }, { at: '2026-11-26T08:01:00Z', text: 'no', removed: true }],
      photos: [{ id: 'photo-1.png', at: '2026-11-25T07:00:00Z', caption: '', width_px: 8, height_px: 8, removed: false }],
      repair: { cause: 'mechanism', work: 'guide straightened', part: '', at: '2026-11-26T09:00:00Z' },
      earlier_repairs: [{ cause: 'mechanism', work: 'cleaned', part: '', at: '2026-11-26T07:00:00Z' }],
    }), []).map((entry) => (entry.kind === 'repair' ? `${entry.repair.work}${entry.last ? ', last' : ''}` : entry.kind));
    expect(kinds).toEqual(['complaint', 'photo', 'cleaned', 'note', 'guide straightened, last', 'closed']);
  });
});
