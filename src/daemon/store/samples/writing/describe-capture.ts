import { join } from 'node:path';
import { gapsOfTable } from '../../../../core/tracefile/arrow/batch-table.ts';
import type { TraceRecord } from '../../../../core/tracefile/record.ts';
import { INDEX_FILE, SAMPLES_FILE } from '../../files/record-file.ts';
import { factsOfTable, writeGapsFile } from '../describe-samples.ts';
import { loadIndex } from '../index/trace-index.ts';
import { SamplesFile } from '../samples-file.ts';

/** What only the whole capture tells, into its record: counts, rate, gaps, the voltage channel. The index gets its summary on the way. */
export async function describeCapture(folder: string, record: TraceRecord): Promise<void> {
  const file = SamplesFile.open(join(folder, SAMPLES_FILE));
  try {
    const { table } = await loadIndex(file, join(folder, INDEX_FILE), { mayWrite: true });
    const gaps = gapsOfTable(table);
    Object.assign(record, factsOfTable(table, gaps));
    await writeGapsFile(folder, gaps);
    const withVoltage = table.length > 0 && (table.flags[0]! & 1) !== 0;
    if (withVoltage && !record.channels.some((channel) => channel.name === 'voltage')) record.channels.push({ name: 'voltage', unit: 'V', range: null, resolution: null });
  } finally {
    file.close();
  }
}
