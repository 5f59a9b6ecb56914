import { basename, dirname, join } from 'node:path';
import type { CompareOptions } from '../../core/analysis/compare/compare-actuation.ts';
import { compareMany } from '../../core/present/documents/document-compare.ts';
import type { ReportAudience, ReportInput, ReportMany, Workshop } from '../../core/report/input.ts';
import type { JobRecord } from '../../core/tracefile/record.ts';
import { jobAnswer, type JobAnswer } from '../../core/present/wording/job-words.ts';
import { reasonJob } from '../../core/reason/job-case.ts';
import { readJob } from '../store/records/read-job.ts';
import { JOB_FILE, readSmallFile } from '../store/files/record-file.ts';
import { readWorkshop } from '../store/records/workshop.ts';
import { VERSION } from '../version.ts';
import { compareAnalysed } from './compare-analysed.ts';
import { nameOf, namesOf, reportTrace, type Analysed } from './gather.ts';
import { sensorsOf } from './sensor-facts.ts';
import { linesOf, overlaysOf } from './overlays.ts';

/**
 * Gathers what a report is made of. Two traces of one test are compared as before and after; the job is the one that the first
 * trace's folder lies in, if it lies in one. Times are those of the clock of `timeZone` (IANA name); where none is given, this computer's.
 */
export async function gatherReport(analysed: readonly Analysed[], audience: ReportAudience, madeAt: string, options: CompareOptions & { readonly timeZone?: string | undefined } = {}): Promise<ReportInput> {
  const { timeZone = Intl.DateTimeFormat().resolvedOptions().timeZone, ...compared } = options;
  const [before, after] = analysed;
  const pair = analysed.length === 2 && before !== undefined && after !== undefined && before.result.test === after.result.test ? { before, after } : null;
  const traces = [];
  for (const one of analysed) traces.push(await reportTrace(one));
  const job = before === undefined ? null : await jobAbove(before.reader.path);
  return {
    audience,
    madeAt,
    software: VERSION,
    timeZone,
    workshop: before === undefined ? null : await workshopAbove(before.reader.path),
    job,
    proof: job === null ? null : proofOfRepair(job, analysed),
    traces,
    comparison: pair === null ? null : compareAnalysed(pair.before.result, pair.after.result, { sensors: sensorsOf(pair.before, pair.after), ...compared }),
    overlays: pair === null ? [] : await overlaysOf(pair.before, pair.after),
    many: await sideBySide(analysed),
  };
}

/** What the traces of this report say of the repair; those of the job that are not in it say nothing here. */
function proofOfRepair(job: JobRecord, analysed: readonly Analysed[]): JobAnswer['proof'] {
  if (job.repair === null) return null;
  const reasoning = reasonJob(job, analysed.map(({ reader: { record }, result }) => ({ id: record.id, name: nameOf(record), start: record.start, result })));
  return typeof reasoning === 'string' ? null : jobAnswer(reasoning, job.repair).proof;
}

/** Three or more traces of one test: what stands out among them. */
async function sideBySide(analysed: readonly Analysed[]): Promise<ReportMany | null> {
  if (analysed.length < 3 || new Set(analysed.map(({ result }) => result.test)).size > 1) return null;
  const names = namesOf(analysed.map(({ reader }) => reader.record));
  const result = compareMany(analysed.map(({ result: own }, i) => ({ name: names[i]!, result: own })));
  return { result, lines: await linesOf(result, analysed) };
}

/** The job that a trace's folder lies in; null where it lies in none. */
async function jobAbove(tracePath: string): Promise<JobRecord | null> {
  const folder = dirname(tracePath);
  const text = await readSmallFile(join(folder, JOB_FILE)).catch(() => null);
  return text === null ? null : readJob(folder, basename(folder));
}

/** The heading of the data folder that a trace lies in, as DATA/jobs/JOB/TRACE; null where it lies in none. */
async function workshopAbove(tracePath: string): Promise<Workshop | null> {
  const jobs = dirname(dirname(tracePath));
  return basename(jobs) === 'jobs' ? readWorkshop(dirname(jobs)) : null;
}
