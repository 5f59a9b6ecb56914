import type { Trace } from '../../../trace.ts';
import { findAcCoupling, type AcCoupling } from '../sensor/ac-coupling.ts';
import { withoutOverflow } from '../sensor/overflow.ts';
import { findSpikes } from '../sensor/spikes.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { averaged, findChopping, type Chopping } from './chopping.ts';

/** What is on the wire before any press is looked for, with the columns that the later questions read. */
export interface Wire {
  /** without single-reading spikes; a chopped supply is read by its mean over a period */
  readonly trace: Trace;
  /** samples at which the current was isolated */
  readonly spikes: Int32Array;
  readonly chopping: Chopping | null;
  /** null for a sensor that shows direct current */
  readonly coupling: AcCoupling | null;
  /** magnitudes in which the chopping shows, before it was averaged; null without one */
  readonly choppedSizes: Float32Array | null;
}

/** Takes out of the columns what is not the load's own: spikes, and the swing of a chopped supply. O(n). */
export function readWire(raw: Trace, sampling: Sampling): Wire {
  const asRead = { ...raw, currentA: withoutOverflow(raw.currentA, sampling) };
  const coupling = findAcCoupling(asRead.currentA, sampling);
  const recorded = coupling === null ? asRead : { ...asRead, currentA: coupling.currentA };
  const sizes = sizesOf(recorded.currentA);
  const byCurrent = findChopping(sizes, sampling);
  const volts = byCurrent === null && recorded.voltageV !== null ? sizesOf(recorded.voltageV) : null;
  const byVolts = volts === null ? null : findChopping(volts, sampling);
  const chopping = byCurrent ?? byVolts;
  if (chopping === null) {
    const { indices, currentA } = findSpikes(recorded.currentA, sampling);
    return { trace: indices.length === 0 ? recorded : { ...recorded, currentA }, spikes: indices, chopping, coupling, choppedSizes: null };
  }
  const trace = {
    ...recorded,
    currentA: meansOf(recorded.currentA, chopping),
    voltageV: recorded.voltageV === null ? null : meansOf(recorded.voltageV, chopping),
  };
  return { trace, spikes: new Int32Array(0), chopping, coupling, choppedSizes: byCurrent === null ? volts : sizes };
}

function sizesOf(values: Float32Array): Float32Array {
  const sizes = new Float32Array(values.length);
  for (let i = 0; i < values.length; i++) sizes[i] = Math.abs(values[i]);
  return sizes;
}

/** The readings with those of the chopped stretch averaged over a period. */
function meansOf(values: Float32Array, { samples, part }: Chopping): Float32Array {
  if (part === null) return averaged(values, samples);
  const result = values.slice();
  result.set(averaged(values.subarray(part.startIndex, part.endIndex), samples), part.startIndex);
  return result;
}
