import type { JobRecord } from '../../../src/core/tracefile/record.ts';
import type { JobView } from '../../../src/core/wire/api.ts';
import { formatDate } from '../../reading/format.ts';

type JobState = 'open' | 'closed' | 'archived';
export type Shown = JobState | 'all';

export function stateOf({ closed, archived }: JobRecord): JobState {
  return archived !== null ? 'archived' : closed !== null ? 'closed' : 'open';
}

/** Jobs of one state, in any word of which every word searched for is found; order kept. */
export function findJobs(jobs: readonly JobView[], search: string, shown: Shown): JobView[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return jobs.filter(({ job }) => {
    if (shown !== 'all' && stateOf(job) !== shown) return false;
    const text = textOf(job);
    return words.every((word) => text.includes(word));
  });
}

function textOf(job: JobRecord): string {
  const { depot, vehicle, complaint, circuit, technician, note, plate, vin, customer, notes, repair, created } = job;
  const written = notes.filter(({ removed }) => !removed).map(({ text }) => text);
  // a plate is searched with and without its spaces
  return [vehicle, plate, plate.replaceAll(/[\s-]/g, ''), vin, customer, depot, complaint, circuit, technician, note, ...written, repair?.work ?? '', repair?.part ?? '', formatDate(created)].join(' ').toLowerCase();
}
