import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SAMPLE_TRACES, sampleFiles } from './sample-traces.ts';

/** Writes sample-traces/ anew: `npx tsx tests/simulate/make-sample-traces.ts`. */
const folder = join(import.meta.dirname, '../../sample-traces');
for (const sample of SAMPLE_TRACES) {
  for (const [name, text] of sampleFiles(sample)) {
    writeFileSync(join(folder, name), text);
    console.log(`${name}: ${Buffer.byteLength(text)} bytes`);
  }
}
