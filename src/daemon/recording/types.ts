import type { CalibrationRecord } from '../../core/analysis/uncertainty/calibration.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import type { ArmSettings, DamageView, TestSettings, ToPage } from '../../core/wire/messages.ts';
import type { Clock } from '../clock.ts';
import type { LoggerInfo, SourceState } from '../sources/source.ts';
import type { CaptureEnd } from '../store/samples/writing/capture-end.ts';
import type { TraceWriter } from '../store/samples/writing/trace-writer.ts';

/** The zero that is taken off every reading. */
export interface Zero {
  readonly zeroA: number;
  /** standard deviation of the readings it was taken from */
  readonly noiseA: number;
  /** how many they were */
  readonly readings: number;
  /** RFC 3339 UTC */
  readonly takenAt: string;
  readonly text: string;
}

/** What went before: samples as measured, gaps and marks, in live time. */
export interface Before {
  readonly startS: number;
  readonly blocks: readonly SampleBlock[];
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
}

/** What is known at the moment a recording starts. */
export interface RecordingFacts {
  readonly spec: string;
  readonly nowS: number;
  readonly state: SourceState['state'];
  /** null: of a test that nobody has chosen */
  readonly settings: TestSettings | null;
  readonly logger: LoggerInfo | null;
  readonly zero: Zero | null;
  readonly damage: DamageView;
  readonly clock: ClockReport | null;
  /** those that hold of this logger, once they are looked up in the data folder; absent where there is none */
  readonly calibrations?: () => Promise<readonly CalibrationRecord[]>;
  before(seconds: number): Before;
}

/** The same once all of it is known. */
type KnownFacts = Omit<RecordingFacts, 'logger' | 'calibrations'> & { readonly logger: LoggerInfo; readonly calibrations: readonly CalibrationRecord[] };

/** A trace that is being written, and where it lies; without a data folder jobId and traceId are empty. */
export interface Capture {
  readonly jobId: string;
  readonly traceId: string;
  readonly writer: TraceWriter;
}

interface CaptureLimits {
  readonly stopAfterS: number | null;
  readonly stopAfterBytes: number | null;
  readonly onEnd: (end: CaptureEnd) => void;
}

export interface RecorderParts {
  readonly clock: Clock;
  /** makes the trace folder; `startS` is the live time that becomes trace time 0 */
  readonly create: (facts: KnownFacts, startS: number, limits: CaptureLimits) => Promise<Capture>;
  readonly send: (message: ToPage) => void;
  /** called when a recording has begun, at the moment it ends, and when it is closed on disk (`record` null: it could not be closed cleanly) */
  readonly onStart: () => void;
  readonly onEnding: (capture: Capture) => void;
  readonly onEnd: (end: CaptureEnd, record: TraceRecord | null) => void;
  /** a recording that was waited for could not be started */
  readonly onRefused?: (text: string) => void;
}

/** When a recording ends by itself. */
export type StopSettings = Pick<ArmSettings, 'stopAfterS' | 'stopAfterBytes' | 'stopWhenAsleep'>;

/** What a recording is made of, in live time. */
export type Recorded = SampleBlock | Gap | Mark | RangeChange;

/** The logger measures in another range from the reading after `atS` on. */
export interface RangeChange {
  readonly before: LoggerInfo;
  readonly now: LoggerInfo;
  readonly atS: number;
}
