import { writeFileSync } from 'node:fs';
import { gateOutcomes } from './gate.ts';

/** Writes the baseline of the gate anew. */
const outcomes = gateOutcomes();
writeFileSync(new URL('../baseline-motor.json', import.meta.url), `${JSON.stringify(outcomes, null, 1)}\n`);
for (const [name, outcome] of Object.entries(outcomes)) if (outcome !== 'right') console.log(`${outcome}: ${name}`);
