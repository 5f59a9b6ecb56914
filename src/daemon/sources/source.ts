import type { ChannelInfo, ClockReport, DamageCounts, LoggerNotice, Overload } from '../../core/decode/logger.ts';
import type { Gap, SampleBlock } from '../../core/trace.ts';
import type { LineShare } from './serial/line-tally.ts';
import type { HeardLine } from '../../core/wire/messages.ts';

export type { ChannelInfo, ClockReport, DamageCounts, LoggerNotice };

/**
 * Where samples come from: a logger on USB serial, the virtual vehicle, or a recorded trace. All speak through one sink, so nothing
 * behind the source can tell them apart, and the same tests run over each.
 */
export interface Source {
  /** as typed: `serial:/dev/ttyACM0`, `sim:side-step-jam`, `replay:…`, `auto` */
  readonly spec: string;
  start(sink: SourceSink): void;
  stop(): Promise<void>;
  /** what a person may do to the source from the page: the virtual switch and fuses, the zero step of a logger */
  control(command: SourceCommand): ControlAnswer;
  /** absent where no lines come, null while it is not known yet whether any will */
  line?(): LineReport | null;
  /** device that is being read or looked for; null where none is, absent where there are no ports */
  port?(): string | null;
}

/** How the line is on which a logger sends, whatever its readings say. */
export interface LineReport {
  /** seconds since the last line came, readable or not; null before the first */
  readonly ageS: number | null;
  /** what is being lost; null while all arrives */
  readonly overload: Overload | null;
  /** lines of the last seconds, and how many of them were damaged; null while none came */
  readonly share: LineShare | null;
  /** the newest lines as they came, with whether each was damaged, for somebody who sets the logger up */
  readonly heard: readonly HeardLine[];
}

export interface SourceSink {
  state(state: SourceState): void;
  logger(info: LoggerInfo): void;
  /** times rise over all blocks of one source, in seconds since `start`; no block has a gap inside */
  samples(block: SampleBlock): void;
  gap(gap: Gap): void;
  notice(notice: LoggerNotice): void;
  damage(counts: DamageCounts): void;
  /** how the logger's clock runs against the computer's, now and then once it is known */
  clock?(report: ClockReport): void;
}

/**
 * searching: no device yet · connecting: open, nothing readable yet · live · lost: was live and is not; the source goes on trying and
 * the same trace time continues · ended: nothing more will come (end of a replay) · failed: a person has to do something; a serial source
 * still goes on trying, so that `live` may follow once it is done.
 */
export interface SourceState {
  readonly state: 'searching' | 'connecting' | 'live' | 'lost' | 'ended' | 'failed';
  /** one sentence for the page: what is so, and where it is not good, what to do */
  readonly text: string;
}

export interface LoggerInfo {
  readonly kind: 'logger' | 'numbers' | 'virtual' | 'replay';
  readonly name: string;
  readonly serial: string | null;
  readonly firmware: string | null;
  /** null when it has to be measured from the arriving lines */
  readonly rateHz: number | null;
  readonly channels: readonly ChannelInfo[];
  /** a replay of what a virtual vehicle has made */
  readonly simulated?: boolean;
  /** for the virtual vehicle: what can be worked from the page */
  readonly controls?: { readonly hasSwitch: boolean; readonly fuses: readonly string[]; readonly scenario: string; readonly title: string };
}

export type SourceCommand =
  | { readonly do: 'switch'; readonly position: 'forward' | 'off' | 'reverse' }
  | { readonly do: 'fuse'; readonly label: string; readonly fitted: boolean };

export type ControlAnswer = { readonly ok: true } | { readonly ok: false; readonly text: string };
