import { formatDuration, language } from '../../../core/present/language.ts';

const words = language.daemon.sources.recognition;

/**
 * Speeds tried when none is given, likeliest first: the project's own logger, then what sketches use. USB devices without a UART
 * ignore the speed and answer at the first.
 */
export const USUAL_BAUDS: readonly number[] = [1_000_000, 115_200, 500_000, 250_000, 9600, 230_400, 460_800, 921_600, 57_600, 2_000_000, 38_400, 19_200];

/**
 * How long is waited before it is said. firstSilence: a board that resets on opening is silent for about two seconds in its boot loader ·
 * unreadable: a hello and several lines of any usual logger would have come · text: a slow sketch prints a line a second, and three must be seen
 */
const WAIT_S = { firstSilence: 3, silence: 2, unreadable: 1.2, text: 20 } as const;
/** Noise of a wrong speed is about 60 % bytes that no text holds; a damaged line or a boot message stays far below this part. */
export const NOISE = { part: 0.1, bytes: 64 } as const;

interface Reception {
  /** since the port is open at this speed, s */
  readonly elapsedS: number;
  readonly bytes: number;
  readonly oddBytes: number;
}

/** What the bytes of a port look like that has not been understood yet. */
export type Impression = 'waiting' | 'silent' | 'noise' | 'text';

/** Judges a port's bytes while nothing in them is understood; `first` = since opening, when the board may be starting up. */
export function judgeReception(reception: Reception, first: boolean): Impression {
  const { elapsedS, bytes, oddBytes } = reception;
  if (bytes === 0) return elapsedS < (first ? WAIT_S.firstSilence : WAIT_S.silence) ? 'waiting' : 'silent';
  if (oddBytes > NOISE.part * bytes) return elapsedS > WAIT_S.unreadable || bytes > 10 * NOISE.bytes ? 'noise' : 'waiting';
  return elapsedS < WAIT_S.text ? 'waiting' : 'text';
}

/** One sentence on a port that is open but not understood, with the fix. `baud` null = the usual ones have been tried. */
export function explainReception(path: string, impression: Impression, baud: number | null): string {
  const at = baud === null ? words.atEveryUsualSpeed : words.atBaud(baud);
  switch (impression) {
    case 'silent':
      return words.isOpenButSilent(path, at);
    case 'noise':
      return baud === null
        ? words.bytesArriveFromBut(path)
        : words.bytesArriveFromButForm(path, baud);
    case 'text':
      return words.sendsTextButNo(path);
    default:
      return words.waitingForLinesFrom(path, at);
  }
}

/** What is said while bytes arrive and it is too early to judge them. */
export function explainArriving(path: string, baud: number): string {
  return words.linesArriveFrom(path, words.atBaud(baud));
}

/** What is said while another speed is tried because the one before made no sense. */
export function explainSearching(path: string, baud: number): string {
  return words.makesNoSenseTrying(path, words.atBaud(baud));
}

/** What is said when noise comes where readings came at the same speed: that speed was right. */
export function explainDisturbed(path: string, baud: number): string {
  return words.makesNoSenseAnyMore(path, baud);
}

/** What is said when lines go on, and none of them is a reading any more. */
export function explainUnread(path: string, unreadS: number): string {
  return words.linesArriveButNoReading(path, formatDuration(unreadS));
}

/** What is said when a port has gone quiet on which nothing was understood; `before` = what had come. */
export function explainStopped(path: string, silentS: number, before: Impression): string {
  return before === 'noise' ? words.stoppedAfterNoise(path, formatDuration(silentS)) : words.stoppedUnread(path, formatDuration(silentS));
}

/** What is said when a live port has gone quiet. */
export function explainSilence(path: string, silentS: number): string {
  return words.nothingHasArrivedFrom(path, formatDuration(silentS));
}
