import { PLAIN_PRESS } from '../analysis/plain-press.ts';
import { NO_STORY } from '../../../src/core/tracefile/job-story.ts';
import { NO_EVIDENCE } from '../../../src/core/reason/job-evidence.ts';
import type { ReportTrace } from '../../../src/core/report/input.ts';
import type { Actuation, ActuationResult, AnalysisResult, DrainResult } from '../../../src/core/analysis/results.ts';
import { JOB_SCHEMA, TRACE_SCHEMA, type JobRecord } from '../../../src/core/tracefile/record.ts';

/** Small hand-made results: the report and the comparison are tested on what they are given, not on how it was found. */
export function actuation(fields: Partial<Actuation> = {}): Actuation {
  return {
    ...PLAIN_PRESS,
    inrush: { peak_a: 14.2, at_s: 1.02, settle_s: 0.2, charge_c: 1.9, i2t_a2s: 22 },
    run: { start_s: 1.2, end_s: 3, median_a: 4.2, low_a: 4.15, high_a: 4.25, spread_a: 0.2, slope_a_per_s: 0 },
    ...fields,
  };
}

export function actuationResult(actuations: Actuation[] = [actuation({ stalls: [{ start_s: 3, end_s: 4, level_a: 13.1, at: 'travel' }], finding: 'stalled' })], finding: ActuationResult['verdict']['finding'] = 'stalled'): ActuationResult {
  return {
    schema: 'amptrail/1',
    test: 'actuation',
    trace: { samples: 6000, duration_s: 6, rate_hz: 1000, gaps: [], voltage_at: null },
    problems: [],
    verdict: { finding, basis: finding === 'normal' ? 'limits' : 'itself', because: ['It drew 13.1 A and stood still from 3.0 s.'], next: ['Free the slide by hand, power off.'] },
    baseline: { current_a: 0.02, noise_a: 0.03 },
    load: { kind: 'motor', because: '' },
    background_a: 0,
    actuations,
    flags: [],
    asymmetry: null,
  };
}

export function drainResult(fields: Partial<DrainResult> = {}): DrainResult {
  return {
    schema: 'amptrail/1',
    test: 'drain',
    trace: { samples: 36_000, duration_s: 3600, rate_hz: 10, gaps: [], voltage_at: null },
    problems: [],
    verdict: { finding: 'drain', because: ['Asleep it draws 0.18 A.'], next: ['Pull the fuses one by one.'] },
    levels: [],
    asleep: { at_s: 1200, level_a: 0.18, low_a: 0.178, high_a: 0.182 },
    wakeups: [{ start_s: 2000, end_s: 2045, peak_a: 0.4, charge_c: 9 }],
    wake_period_s: null,
    average_a: 0.183,
    charge_ah_per_day: 4.4,
    limit_a: 0.05,
    over_limit: true,
    pulls: [{ label: 'F12', at_s: 3000, change_a: -0.15, low_a: -0.152, high_a: -0.148, carries: true }],
    unexplained_a: 0.03,
    battery: { capacity_ah: 60, days_to_half: 6.8, days_to_empty: 13.6 },
    key_off_s: null,
    possible_pulls: [],
    ...fields,
  };
}

export function jobRecord(): JobRecord {
  return {
    schema: JOB_SCHEMA, id: '2026-11-25_minibus', created: '2026-11-25T08:00:00Z', depot: 'Millbrook transport', vehicle: 'Minibus 3',
    complaint: 'side step hardly moves', circuit: 'side step motor', fuse_rating_a: 15, technician: 'R. Okafor', note: 'grit under the left slide', plate: '', vin: '', odometer_km: null, customer: '', ...NO_EVIDENCE, ...NO_STORY,
  };
}

export function reportTrace(result: AnalysisResult): ReportTrace {
  return {
    record: {
      schema: TRACE_SCHEMA, id: '2026-11-25T08-30-00Z', title: 'left side', start: '2026-11-25T08:30:00Z', software: '0.1.0', simulated: false, gap_count: 0, gap_s: 0, trace_uid: null, import_problems: [],
      logger: { name: 'reference logger', serial: 'A1', firmware: '1', source: 'serial' },
      channels: [{ name: 'current', unit: 'A', range: [-30, 30], resolution: 0.001 }],
      calibration: { zero_a: 0.012, zeroed_at: '2026-11-25T08:29:00Z', gain: 1, offset_doubt_a: 0.01, gain_doubt_percent: 1 },
      calibrations: [],
      test: result.test, actuation_options: null, drain_options: null, rate_hz: 1000, samples: 6000, duration_s: 6, gaps: [], ranges: [],
      thinning: null, damage: { bad_crc: 0, malformed: 0, too_long: 0, lost_blocks: 0, restarts: 0 }, clock: null, end: 'ended', end_cause: 'stopped', sha256: 'abc123',
    },
    result,
    problems: [],
    marks: [],
    gaps: [],
    samples: { timeS: Float64Array.of(0, 1, 1.02, 2, 3, 4, 6), currentA: Float32Array.of(0, 0, 14, 4.2, 13, 0, 0), voltageV: null },
  };
}
