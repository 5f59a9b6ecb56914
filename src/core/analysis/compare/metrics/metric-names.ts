/** Figures that are compared, with their unit as suffix; public, never renamed. */
export type ActuationMetricName = 'run_a' | 'inrush_peak_a' | 'duration_s' | 'moving_s' | 'travel_s' | 'stalled_s' | 'stall_a' | 'ripple_hz' | 'source_ohm' | 'dropouts';
export type DrainMetricName = 'asleep_a' | 'last_level_a' | 'asleep_at_s' | 'average_a' | 'wakeups_per_h' | 'wakeup_charge_c';
export type MetricName = ActuationMetricName | DrainMetricName | 'faulty_share';
