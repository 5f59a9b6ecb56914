import type { Trace } from '../../trace.ts';
import type { ActuationOptions } from '../options.ts';
import { composeResult } from './compose.ts';
import { createLiveMotor, WINDOW_SAMPLES } from './live-analysis.ts';
import { readSection } from './section.ts';
import type { MotorReading } from './reading.ts';
import { FIRST_SAMPLES } from './sample-window.ts';

/**
 * Reads a switch-cycle trace: finds every press of the switch, what the motor did in it, and what the whole test shows.
 *
 * Pure and linear in the number of samples. Odd data is reported in `problems`, never thrown. Every `low_…`/`high_…` pair is a 95 % interval;
 * how it was got is said at the function that makes it (run.ts, supply.ts, ripple.ts). A trace longer than the window of the live
 * analysis is read in the same sections as while recording, so that both say the same.
 *
 * @param trace whole recording; time in s, rising; current in A; voltage in V or null
 * @param options what the technician knows about the circuit
 */
export function readMotor(trace: Trace, options: ActuationOptions): MotorReading {
  const count = trace.timeS.length;
  if (count < WINDOW_SAMPLES) return composeResult([readSection(trace, options)], options);
  const live = createLiveMotor(options);
  for (const gap of trace.gaps) live.gap(gap);
  for (let from = 0; from < count; from += FIRST_SAMPLES) {
    const to = Math.min(count, from + FIRST_SAMPLES);
    live.push({ timeS: trace.timeS.subarray(from, to), currentA: trace.currentA.subarray(from, to), voltageV: trace.voltageV === null ? null : trace.voltageV.subarray(from, to) });
  }
  return live.result();
}
