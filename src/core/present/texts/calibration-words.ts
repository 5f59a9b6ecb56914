import type { CalibrationFault } from '../../analysis/uncertainty/calibration.ts';
import type { NearByGain, NearLimit } from '../../analysis/uncertainty/near-limit.ts';
import type { UncertaintySource } from '../../analysis/uncertainty/parts.ts';
import type { AdviceReason, MeasuringTask, SensorAdvice } from '../../analysis/uncertainty/sensor-advice.ts';

/** What is said of calibrations and of what a sensor can prove. */
export interface CalibrationWords {
  /** the first of `count` figures that lie within their uncertainty of a limit */
  nearLimit(near: NearLimit, count: number): string;
  /** a running level that a gain nobody stated may put on the other side of a limit */
  nearByGain(near: NearByGain): string;
  readonly sources: Readonly<Record<UncertaintySource, string>>;
  readonly faults: Readonly<Record<CalibrationFault, string>>;
  refused(why: string): string;
  unused(channel: 'current' | 'voltage', why: string): string;
  readonly advice: Readonly<Record<AdviceReason, (advice: SensorAdvice, task: MeasuringTask) => string>>;
}
