import { corrected, type Correction } from '../../core/analysis/uncertainty/calibration.ts';
import { traceCorrection, type Calibrated } from '../../core/analysis/uncertainty/trace-correction.ts';
import type { SampleBlock } from '../../core/trace.ts';

/** Copies of a block's values, corrected, in memory of their own that can be given away. */
export type Correct = (block: SampleBlock) => { readonly currentA: Float32Array<ArrayBuffer>; readonly voltageV: Float32Array<ArrayBuffer> | null };

/** The correction that a stored trace gets when it is read, for values that come live. Null, or a calibration that cannot be used: as they are. */
export function correctBy(known: Calibrated | null): Correct {
  const current = usable(known, 'current');
  const voltage = usable(known, 'voltage');
  return ({ currentA, voltageV }) => ({ currentA: copied(currentA, current), voltageV: voltageV === null ? null : copied(voltageV, voltage) });
}

function usable(known: Calibrated | null, channel: 'current' | 'voltage'): Correction | null {
  const found = known === null ? null : traceCorrection(known, channel);
  return typeof found === 'string' ? null : found;
}

function copied(values: Float32Array, correction: Correction | null): Float32Array<ArrayBuffer> {
  return correction === null ? new Float32Array(values) : Float32Array.from(values, (value) => corrected(value, correction));
}
