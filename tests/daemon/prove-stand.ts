import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import { JOB_SCHEMA } from '../../src/core/tracefile/record.ts';
import { writeJson } from '../../src/daemon/store/files/record-file.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { simulateTrace } from '../simulate/simulate-trace.ts';
import { findScenario } from '../../src/simulate/scenarios.ts';

/** The job of every trace that these tests write. */
export const JOB = '20261125-070000-minibus-step';

/** A job of the community transport depot, as job.json holds it. */
export async function writeJob(dataDir: string): Promise<void> {
  await mkdir(join(dataDir, 'jobs', JOB), { recursive: true });
  await writeJson(join(dataDir, 'jobs', JOB, 'job.json'), {
    schema: JOB_SCHEMA, id: JOB, created: '2026-11-25T07:00:00.000Z', depot: 'Lower Meadow community transport', vehicle: 'Minibus 4',
    complaint: 'The side step stops halfway', circuit: 'side step motor, F12', fuse_rating_a: 25, technician: 'R. Okonedo', note: 'Linkage cleaned and greased.',
  });
}

/** A trace of the virtual vehicle, written with the daemon's own writer into the data folder. */
export async function writeTrace(dataDir: string, traceId: string, scenarioName: string, about: Partial<TraceRecord> = {}, durationS?: number, seed = 4): Promise<void> {
  const scenario = findScenario(scenarioName);
  if (scenario === undefined) throw new Error(`no scenario ${scenarioName}`);
  const { trace, marks } = simulateTrace(scenario, seed, durationS);
  const record: TraceRecord = {
    ...emptyTraceRecord(traceId, '2026-11-25T07:05:00.000Z', 'test'),
    test: scenario.test,
    title: scenario.title,
    logger: { name: 'virtual vehicle', serial: null, firmware: null, source: `sim:${scenario.name}` },
    ...(scenario.runLimitsA === null ? {} : { actuation_options: { runLimitsA: scenario.runLimitsA } }),
    ...about,
  };
  const writer = await TraceWriter.create(join(dataDir, 'jobs', JOB, traceId), record, { durable: false });
  writer.append(trace);
  for (const mark of marks) await writer.mark(mark);
  await writer.finish('stopped');
}
