import { NORMAL_95 } from '../../core/analysis/uncertainty/normal-95.ts';
import type { StepChange } from '../../core/analysis/live.ts';
import type { CalibrationRecord } from '../../core/analysis/uncertainty/calibration.ts';
import type { RecordedChannel, TraceRecord } from '../../core/tracefile/record.ts';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';
import type { DamageView, TestSettings } from '../../core/wire/messages.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import { findScenario } from '../../simulate/scenarios.ts';
import type { LoggerInfo } from '../sources/source.ts';
import { VERSION } from '../version.ts';
import type { RangeChange, Zero } from './types.ts';

interface CaptureFacts {
  /** wall-clock time of trace time 0 */
  readonly start: Date;
  readonly spec: string;
  readonly logger: LoggerInfo;
  readonly settings: TestSettings | null;
  readonly zero: Zero | null;
  readonly damage: DamageView;
  /** kept with this logger */
  readonly calibrations?: readonly CalibrationRecord[];
}

/** What the zero step says of the readings, as the record has it. */
export function zeroStepOf(zero: Zero | null): TraceRecord['calibration'] {
  const { calibration } = emptyTraceRecord('', '', '');
  return zero === null ? calibration : { ...calibration, zero_a: zero.zeroA, zeroed_at: zero.takenAt, offset_doubt_a: (NORMAL_95 * zero.noiseA) / Math.sqrt(zero.readings) };
}

/** What is known of a capture before its first sample: who measured, with what, how far it can be trusted, and for which test. */
export function captureRecord(id: string, facts: CaptureFacts): TraceRecord {
  const { logger, settings, zero, calibrations = [] } = facts;
  const record = emptyTraceRecord(id, facts.start.toISOString(), `amptrail ${VERSION}`);
  record.simulated = logger.kind === 'virtual' || logger.simulated === true;
  record.title = settings?.title ?? '';
  record.logger = { name: logger.name, serial: logger.serial, firmware: logger.firmware, source: facts.spec };
  record.channels = logger.channels.map(
    (channel): RecordedChannel => ({
      name: channel.name,
      unit: channel.name === 'current' ? 'A' : 'V',
      range: Number.isFinite(channel.range[0]) && Number.isFinite(channel.range[1]) ? [...channel.range] : null,
      resolution: channel.scale > 0 ? channel.scale : null,
    }),
  );
  if (record.channels.length === 0) record.channels = [{ name: 'current', unit: 'A', range: null, resolution: null }];
  record.calibration = zeroStepOf(zero);
  record.calibrations = [...calibrations];
  // without a person's choice a virtual vehicle still knows which test it plays
  record.test = settings?.test ?? findScenario(logger.controls?.scenario ?? '')?.test ?? null;
  record.actuation_options = settings?.test === 'actuation' ? settings.actuation : null;
  record.drain_options = settings?.test === 'drain' ? settings.drain : null;
  return record;
}

/** Lines refused in the course of the capture alone, from the counts at its start and at its end. */
export function damageSince(before: DamageView, now: DamageView): TraceRecord['damage'] {
  // counts begin anew with another source, which cannot be chosen while recording; a lower count can only be a fault, and counts as none
  const since = (from: number, to: number): number => Math.max(0, to - from);
  return {
    bad_crc: since(before.badCrc, now.badCrc),
    malformed: since(before.malformed, now.malformed),
    too_long: since(before.tooLong, now.tooLong),
    lost_blocks: since(before.lostBlocks, now.lostBlocks),
    restarts: since(before.restarts, now.restarts),
  };
}

/** Drift and jitter of the logger's clock as last reported; null where it has none of its own, or it was not known in time. */
export function clockFacts(report: ClockReport | null): TraceRecord['clock'] {
  return report === null ? null : { drift_ppm: report.driftPpm, jitter_s: report.jitterS };
}

/** Lists in the record that the range changed at `atS` of its time; the range before is in the list too, from time 0. */
export function noteRange(record: TraceRecord, before: LoggerInfo, now: LoggerInfo, atS: number): void {
  if (record.ranges.length === 0) record.ranges.push(rangeOf(before, 0));
  record.ranges.push(rangeOf(now, atS));
}

/** The same as the live analysis takes it. */
export function stepChange({ before, now, atS }: RangeChange): StepChange {
  return { atS, fromA: rangeOf(before, 0).resolution, toA: rangeOf(now, atS).resolution };
}

function rangeOf({ channels }: LoggerInfo, atS: number): TraceRecord['ranges'][number] {
  const [low, high] = channels[0]?.range ?? [0, 0];
  const resolution = channels[0]?.scale ?? 0;
  return { at_s: atS, range: [low, high], resolution: resolution > 0 ? resolution : null };
}
