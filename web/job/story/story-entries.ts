import type { JobNote, JobPhoto, JobRecord, Repair } from '../../../src/core/tracefile/record.ts';
import type { TraceView } from '../../../src/core/wire/api.ts';

/** What happened to a job, in order of time. */
export type StoryEntry = { readonly at: string } & (
  | { readonly kind: 'complaint' }
  | { readonly kind: 'trace'; readonly trace: TraceView }
  | { readonly kind: 'note'; readonly note: JobNote }
  | { readonly kind: 'photo'; readonly photo: JobPhoto }
  /** `last`: the one that the traces since then prove or not */
  | { readonly kind: 'repair'; readonly repair: Repair; readonly last: boolean }
  | { readonly kind: 'closed' }
  | { readonly kind: 'archived' }
);

export function storyOf(job: JobRecord, traces: readonly TraceView[]): StoryEntry[] {
  const entries: StoryEntry[] = [{ kind: 'complaint', at: job.created }];
  for (const trace of traces) if (trace.jobId === job.id) entries.push({ kind: 'trace', at: trace.record.start, trace });
  for (const note of job.notes) if (!note.removed) entries.push({ kind: 'note', at: note.at, note });
  for (const photo of job.photos) if (!photo.removed) entries.push({ kind: 'photo', at: photo.at, photo });
  for (const repair of job.earlier_repairs) entries.push({ kind: 'repair', at: repair.at, repair, last: false });
  if (job.repair !== null) entries.push({ kind: 'repair', at: job.repair.at, repair: job.repair, last: true });
  if (job.closed !== null) entries.push({ kind: 'closed', at: job.closed });
  if (job.archived !== null) entries.push({ kind: 'archived', at: job.archived });
  // the complaint comes first, even where its traces were recorded before anybody wrote it down
  return entries.sort((a, b) => Number(b.kind === 'complaint') - Number(a.kind === 'complaint') || (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
}
