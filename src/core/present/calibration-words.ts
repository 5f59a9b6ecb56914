import type { CalibrationFault } from '../analysis/uncertainty/calibration.ts';
import type { AdviceReason, MeasuringTask, SensorAdvice } from '../analysis/uncertainty/sensor-advice.ts';

/** What is said of calibrations and of what a sensor can prove. */
export interface CalibrationWords {
  readonly faults: Readonly<Record<CalibrationFault, string>>;
  refused(why: string): string;
  unused(channel: 'current' | 'voltage', why: string): string;
  readonly advice: Readonly<Record<AdviceReason, (advice: SensorAdvice, task: MeasuringTask) => string>>;
}
