import type { Gap, SampleBlock } from '../trace.ts';

/** What a logger says of itself, and what the decoder says of its lines. The daemon hands these on to the hub as they are. */
export interface ChannelInfo {
  readonly name: 'current' | 'voltage';
  readonly unit: string;
  /** value = (count - zero) x scale */
  readonly scale: number;
  readonly zero: number;
  /** what the sensor can measure, in `unit`; infinite ends where the source did not say */
  readonly range: readonly [number, number];
}

export interface DecodedLogger {
  readonly kind: 'logger' | 'numbers';
  readonly name: string;
  readonly serial: string | null;
  readonly firmware: string | null;
  /** null when it has to be measured from the arriving lines */
  readonly rateHz: number | null;
  readonly channels: readonly ChannelInfo[];
}

export interface LoggerNotice {
  readonly atS: number;
  readonly code: string;
  readonly text: string;
}

/** Lines refused since the start, by kind; shown, never guessed at. */
export interface DamageCounts {
  /** framed lines whose CRC does not fit */
  readonly badCrc: number;
  /** lines that are neither a framed line nor numbers, or carry values that cannot be */
  readonly malformed: number;
  /** lines longer than any logger sends */
  readonly tooLong: number;
  /** blocks missing by the logger's own count */
  readonly lostBlocks: number;
  /** times the logger began anew in mid-stream */
  readonly restarts: number;
}

/** How the logger's clock runs against the computer's. */
export interface ClockReport {
  /** logger clock against computer clock: +100 = the logger's second is 100 µs short (it runs fast) */
  readonly driftPpm: number;
  /** 95 % half-width of the drift */
  readonly driftUncertaintyPpm: number;
  /** standard deviation of the arrival of lines about the tied clock, s; made of USB bunching and of the computer's own pauses */
  readonly jitterS: number;
  /** samples per second of the computer's clock */
  readonly rateHz: number;
}

export interface DecoderSink {
  logger(info: DecodedLogger): void;
  /** times rise strictly over all blocks; no block has a gap inside */
  samples(block: SampleBlock): void;
  gap(gap: Gap): void;
  notice(notice: LoggerNotice): void;
}

/** A line that cannot carry what the logger sends: what the last few seconds were. */
export interface Overload {
  /** part of the readings that did not arrive, 0 to 1 */
  readonly lost: number;
  /** what the logger sends, and what of it arrives */
  readonly rateHz: number;
  readonly arrivedHz: number;
  /** the highest usual rate that this line would carry; null where none is low enough */
  readonly heldRateHz: number | null;
  /** most of what is missing came, but damaged: plug, cable and ground come first */
  readonly damaged: boolean;
}
