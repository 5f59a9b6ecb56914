import type { ActuationOptions, DrainOptions } from '../analysis/options.ts';
import type { AnalysisResult, TestKind } from '../analysis/results.ts';
import type { ClockReport, Overload } from '../decode/logger.ts';
import type { Mark, MarkKind } from '../trace.ts';

/**
 * Control messages between the daemon and its pages: JSON text frames on the WebSocket, each one object with a `type`. Sample frames
 * are binary (sample-frame.ts). Both ends ship together, so these types are shared, and a page whose protocol number differs is told to
 * reload. The daemon still checks every message from a page field by field (src/daemon/http/wire-check.ts): a page is a stranger.
 *
 * The first message of a page must be `join` with the token; until then the daemon sends nothing.
 */
export const WIRE_PROTOCOL = 1;

/** Path of the WebSocket on the daemon's own address. */
export const LIVE_PATH = '/live';

/** Longest text a page may send, bytes. */
export const MAX_PAGE_MESSAGE_BYTES = 64 * 1024;

export interface TestSettings {
  readonly test: TestKind;
  readonly actuation: ActuationOptions;
  readonly drain: DrainOptions;
  /** job the next recording belongs to; null = unfiled */
  readonly jobId: string | null;
  /** name for the next recording */
  readonly title: string;
  /** the next recording keeps the full rate only around changes of more than so many ampere (core/tracefile/thinning.ts); absent or null: every sample */
  readonly thinA?: number | null | undefined;
  /** largest zero error by the data sheet of the sensor, A: a reading beyond it is no zero */
  readonly zeroErrorA?: number | null | undefined;
}

export interface LoggerView {
  readonly kind: 'logger' | 'numbers' | 'virtual' | 'replay';
  readonly name: string;
  readonly serial: string | null;
  /** null where the logger tells none */
  readonly firmware?: string | null;
  /** what the logger says of each channel: what one count is, and its zero */
  readonly channels?: readonly { readonly name: string; readonly unit: string; readonly scale: number; readonly zero: number }[];
  readonly rateHz: number | null;
  readonly hasVoltage: boolean;
  readonly currentRangeA: readonly [number, number] | null;
  readonly controls: { readonly hasSwitch: boolean; readonly fuses: readonly string[]; readonly scenario: string; readonly title: string } | null;
}

/** A line as it came; `damaged`: it was no reading, or its check sum was wrong. */
export interface HeardLine {
  readonly text: string;
  readonly damaged: boolean;
}

export interface DamageView {
  readonly badCrc: number;
  readonly malformed: number;
  readonly tooLong: number;
  readonly lostBlocks: number;
  readonly restarts: number;
}

export interface RecordingView {
  readonly jobId: string;
  readonly traceId: string;
  readonly title: string;
  /** live time of trace time 0 */
  readonly startS: number;
  readonly samples: number;
  readonly bytes: number;
}

export type ToPage =
  /**
   * `access`: what the key of this page allows; `device`: the name of the tablet the key was made for, null for a key of this run; `local`: the page is open on the
   * computer itself; `lan`: other devices can reach it; `dataFolder` is '' for a page on another device
   */
  | { readonly type: 'hello'; readonly protocol: number; readonly version: string; readonly access?: 'view' | 'operate'; readonly device?: string | null; readonly local?: boolean; readonly lan?: boolean; readonly dataFolder: string; readonly scenarios: readonly { readonly name: string; readonly title: string; readonly test: TestKind }[] }
  | { readonly type: 'source'; readonly spec: string; readonly state: 'searching' | 'connecting' | 'live' | 'lost' | 'ended' | 'failed'; readonly text: string; readonly logger: LoggerView | null;
      /** the serial device that is read or looked for, where there is one */
      readonly port?: string }
  /**
   * Once a second, whatever happens: how old the newest reading and the newest line are (null before the first, or where there are no lines), whether anything is being recorded, and whether
   * the readings are made up. A page that has not heard this for some seconds says itself that it shows old figures.
   */
  | { readonly type: 'status'; readonly state: 'searching' | 'connecting' | 'live' | 'lost' | 'ended' | 'failed'; readonly readingAgeS: number | null; readonly lineAgeS: number | null; readonly recording: boolean; readonly armed: boolean; readonly simulated: boolean | null;
      /** the newest lines as they came, where lines come and none is a reading */
      readonly lines?: readonly string[];
      /** of a logger on a port: its newest lines, and how its clock runs against the computer's once that is known */
      readonly heard?: readonly HeardLine[]; readonly clock?: ClockReport;
      /** only while the line cannot carry what the logger sends: how much is lost, and which rate would hold */
      readonly overload?: Overload;
      /** lines of the last ten seconds: how many a second, and which part of them was damaged */
      readonly share?: { readonly linesPerS: number; readonly damagedPart: number } }
  | { readonly type: 'damage'; readonly counts: DamageView }
  /** about ten a second: the mean over the last tenth of a second, for the big figures */
  | { readonly type: 'reading'; readonly atS: number; readonly currentA: number; readonly voltageV: number | null; readonly peakA: number; readonly overRange: boolean }
  | { readonly type: 'gap'; readonly startS: number; readonly endS: number }
  | { readonly type: 'notice'; readonly atS: number; readonly code: string; readonly text: string }
  /** `askJob`: the job was chosen before the daemon was started anew, and has to be confirmed before anything is recorded to it */
  | { readonly type: 'test'; readonly settings: TestSettings; readonly askJob?: boolean }
  /**
   * Who works the logger: this page, another one (`holder` in words), or nobody (null). `asked`: what became of this page's own question; `askedBy`: who asks this
   * page for the controls.
   */
  | { readonly type: 'controls'; readonly mine: boolean; readonly holder: string | null; readonly asked: 'no' | 'waiting' | 'declined'; readonly askedBy: string | null }
  /** jobs or recordings on the disk have changed: lists are asked for anew */
  | { readonly type: 'stored' }
  | { readonly type: 'zero'; readonly zeroA: number | null; readonly noiseA: number | null; readonly text: string }
  | { readonly type: 'recording'; readonly recording: RecordingView | null; readonly armed: ArmSettings | null; readonly text: string }
  | { readonly type: 'mark'; readonly mark: Mark }
  | { readonly type: 'marks'; readonly marks: readonly Mark[] }
  /** analysis of what was seen up to now; times inside `result` are relative to live time `offsetS` */
  | { readonly type: 'result'; readonly offsetS: number; readonly result: AnalysisResult }
  /** sample frames this page missed because it reads too slowly */
  | { readonly type: 'skipped'; readonly frames: number }
  /**
   * how far a long piece of work on a stored trace is (its request is still open; aborting that request cancels the work). Of a file that is brought in there is
   * no trace yet: `jobId` is empty, and `traceId` what the request gave as `upload`
   */
  | { readonly type: 'progress'; readonly jobId: string; readonly traceId: string; readonly what: 'analysis' | 'export' | 'import'; readonly fraction: number }
  | { readonly type: 'refused'; readonly what: string; readonly text: string };

/** Start by itself: on a level passed, a slope passed, or a clock time; stop by itself after a time, a size, or sleep. */
export interface ArmSettings {
  /** `evenIfPassed`: a current that is past the level when armed starts at once; else it must have been below it first */
  readonly startOn: { readonly kind: 'level'; readonly levelA: number; readonly evenIfPassed?: boolean | undefined } | { readonly kind: 'slope'; readonly slopeAPerS: number } | { readonly kind: 'mark' } | { readonly kind: 'time'; readonly at: string } | { readonly kind: 'now' };
  readonly beforeS: number;
  readonly stopAfterS: number | null;
  readonly stopAfterBytes: number | null;
  readonly stopWhenAsleep: boolean;
}

export type FromPage =
  | { readonly type: 'join'; readonly protocol: number; readonly token: string }
  | { readonly type: 'test'; readonly settings: TestSettings }
  /** the job that recordings go to from now on: chosen, or confirmed after a restart */
  | { readonly type: 'job'; readonly jobId: string | null }
  /** `take`: where nobody holds the controls, else the holder is asked; `hand-over` and `keep` are the holder's answers */
  | { readonly type: 'controls'; readonly do: 'take' | 'hand-over' | 'keep' }
  | { readonly type: 'record'; readonly do: 'start' | 'stop' }
  | { readonly type: 'arm'; readonly arm: ArmSettings | null }
  /** at this moment; with `atS` at that moment of live time, and up to `endS` for a stretch */
  | { readonly type: 'mark'; readonly kind: MarkKind; readonly label: string; readonly atS?: number | undefined; readonly endS?: number | undefined }
  /** takes the mean of the last two seconds as zero (conductor out of the clamp, or no current flowing); `clear` forgets it */
  | { readonly type: 'zero'; readonly do: 'take' | 'clear' }
  | { readonly type: 'source'; readonly do: 'switch'; readonly position: 'forward' | 'off' | 'reverse' }
  | { readonly type: 'source'; readonly do: 'fuse'; readonly label: string; readonly fitted: boolean }
  /** choose another source: `auto`, `serial:PATH`, `sim:NAME` */
  | { readonly type: 'source'; readonly do: 'choose'; readonly spec: string };
