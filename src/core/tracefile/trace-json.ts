import { TRACE_SCHEMA, type TraceRecord } from './record.ts';

/** A record with everything unknown: what a capture starts from, and what a plain file of samples has. */
export function emptyTraceRecord(id: string, start: string, software: string): TraceRecord {
  return {
    schema: TRACE_SCHEMA,
    id,
    title: '',
    start,
    software,
    simulated: false,
    logger: { name: '', serial: null, firmware: null, source: '' },
    channels: [{ name: 'current', unit: 'A', range: null, resolution: null }],
    calibration: { zero_a: null, zeroed_at: null, gain: 1, offset_doubt_a: null, gain_doubt_percent: null },
    calibrations: [],
    test: null,
    actuation_options: null,
    drain_options: null,
    rate_hz: null,
    samples: 0,
    duration_s: 0,
    gaps: [],
    gap_count: 0,
    gap_s: 0,
    ranges: [],
    thinning: null,
    damage: { bad_crc: 0, malformed: 0, too_long: 0, lost_blocks: 0, restarts: 0 },
    clock: null,
    end: 'running',
    end_cause: null,
    sha256: null,
    trace_uid: null,
    import_problems: [],
  };
}
