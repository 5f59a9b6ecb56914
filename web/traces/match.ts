import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { formatDate } from '../reading/format.ts';

/** Traces whose own words and whose job's words hold every word searched for; order kept. */
export function matchTraces(traces: readonly TraceView[], jobs: readonly JobView[], search: string): TraceView[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return [...traces];
  const jobText = new Map(jobs.map(({ job }) => [job.id, [job.depot, job.vehicle, job.complaint, job.circuit, job.technician, job.note, job.plate, job.vin, job.customer].join(' ')]));
  return traces.filter(({ record, jobId, finding }) => {
    const text = [record.title, record.id, record.start, formatDate(record.start), finding ?? '', record.test ?? '', record.logger.name, jobText.get(jobId) ?? ''].join(' ').toLowerCase();
    return words.every((word) => text.includes(word));
  });
}
