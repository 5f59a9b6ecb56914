import { join } from 'node:path';
import { readEvidence } from '../../../core/reason/job-evidence.ts';
import { readStory } from '../../../core/tracefile/job-story.ts';
import type { JobRecord } from '../../../core/tracefile/record.ts';
import { JOB_SCHEMA } from '../../../core/tracefile/record.ts';
import type { JobFields } from '../../../core/wire/api.ts';
import { JOB_FILE, readSmallFile } from '../files/record-file.ts';

const TEXT_FIELDS = ['depot', 'vehicle', 'complaint', 'circuit', 'technician', 'note', 'plate', 'vin', 'customer'] as const;
const MAX_TEXT = 4000;

/** The job.json of a folder. Whatever is wrong with it, the job shows, with empty fields, so that its traces can be reached. */
export async function readJob(path: string, jobId: string): Promise<JobRecord> {
  const text = await readSmallFile(join(path, JOB_FILE)).catch(() => null);
  let value: unknown = null;
  try {
    value = text === null ? null : JSON.parse(text);
  } catch {
    value = null;
  }
  const given = (typeof value === 'object' && value !== null ? value : {}) as Record<string, unknown>;
  return { schema: JOB_SCHEMA, id: jobId, created: typeof given['created'] === 'string' ? given['created'] : '', ...cleanFields(given), ...readEvidence(given).evidence, ...readStory(given) };
}

export function cleanFields(given: { readonly [Name in keyof JobFields]?: unknown }): Required<JobFields> {
  const text = (name: (typeof TEXT_FIELDS)[number]): string => {
    const value = given[name];
    return typeof value === 'string' ? value.trim().slice(0, MAX_TEXT) : '';
  };
  return {
    depot: text('depot'), vehicle: text('vehicle'), complaint: text('complaint'), circuit: text('circuit'), technician: text('technician'), note: text('note'),
    plate: text('plate'), vin: text('vin'), customer: text('customer'),
    fuse_rating_a: positive(given.fuse_rating_a), odometer_km: positive(given.odometer_km),
  };
}

function positive(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) && value > 0 ? value : null;
}
