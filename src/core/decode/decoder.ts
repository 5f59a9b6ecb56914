import { FramedTrack } from './framed-track.ts';
import { isWhole, looksFramed } from './framed-line.ts';
import type { ColumnSpec } from './columns.ts';
import { latin1, LineSplitter, MAX_LINE_BYTES } from './line-splitter.ts';
import type { ChannelInfo, ClockReport, DamageCounts, DecodedLogger, DecoderSink, Overload } from './logger.ts';
import { lineLayout, MAX_FIELDS, MAX_PLAIN_NUMBERS, parseNumbers, plainLayout, readNumbers, type LineLayout } from './number-line.ts';
import { NumberTrack } from './number-track.ts';
import { language } from '../present/language.ts';

const words = language.files.decoder;

/** Number lines in a row, all of one shape, before a stream counts as numbers: noise makes one now and then, not three. */
const CONVINCING_LINES = 3;
/** Each change of shape asks for so many times more lines of the next one in a row, up to a limit: a stream that goes to and fro settles on one shape. */
const CONVINCING_GROWTH = 8;
const MOST_CONVINCING_LINES = 3 * 8 ** 4;
/** So many good lines of one shape and the changes before are forgotten. */
const SETTLED_LINES = 10_000;
/** So many lines of a shape that is not read, and it is said that they come. */
const STRAYS_TO_SAY = 24;
const CR = 13;

/** Is shown every line that comes through `take` or `push`, as bytes that are only lent, and whether it was counted as damaged. */
type LineListener = (bytes: Uint8Array, startIndex: number, endIndex: number, damaged: boolean) => void;

/**
 * Turns what a logger sends into samples with times, whatever the pieces it comes in. Two kinds of stream are told apart by what they
 * are: framed lines (a hello with a fitting checksum), or plain numbers (three such lines in a row). Pure: arrival times are arguments, in
 * seconds of the computer's clock since the source was started, and never fall.
 *
 * Memory is bounded whatever arrives: one line, at most 50,000 plain samples while their pace is measured, one block. Damaged lines are
 * counted by kind and never guessed at. Sample times rise strictly over the whole life of a decoder, reconnections included.
 */
export class LineDecoder {
  private readonly sink: DecoderSink;
  private readonly layout: LineLayout | null;
  private readonly splitter: LineSplitter;
  private readonly onLine: LineListener | null;
  /** the numbers of the line being read */
  private readonly fields = new Float64Array(MAX_FIELDS);
  private readonly framed: FramedTrack;
  private numbers: NumberTrack | null = null;
  /** how many numbers the lines of `numbers` have; lines of another number are damaged */
  private shape = 0;
  private convincing: { readonly numbers: number[]; readonly arrivalS: number }[] = [];
  private changes = 0;
  private linesOfShape = 0;
  private strays = 0;
  private malformed = 0;
  private tooLong = 0;
  private numberRestarts = 0;
  private firstLine = true;
  private nowS = 0;
  private lastS = -Infinity;
  /** lines understood since the connection was (re)opened */
  goodLines = 0;

  /** `columns` for plain lines; throws with a text for people when they do not suit lines. */
  constructor(columns: readonly ColumnSpec[] | null, sink: DecoderSink, onLine: LineListener | null = null) {
    const layout = columns === null ? null : lineLayout(columns);
    if (typeof layout === 'string') throw new Error(layout);
    this.layout = layout;
    this.sink = {
      logger: (info) => sink.logger(info),
      gap: (gap) => sink.gap(gap),
      notice: (notice) => sink.notice(notice),
      samples: (block) => {
        this.lastS = block.timeS[block.timeS.length - 1];
        sink.samples(block);
      },
    };
    this.framed = new FramedTrack(this.sink);
    this.onLine = onLine;
    this.splitter = new LineSplitter(
      (bytes, startIndex, endIndex) => this.watched(bytes, startIndex, endIndex, false),
      (bytes, startIndex, endIndex) => this.watched(bytes, startIndex, endIndex, true),
    );
  }

  /** What the stream has turned out to be. */
  get kind(): 'unknown' | 'logger' | 'numbers' {
    if (this.framed.hasHello) return 'logger';
    return this.numbers === null ? 'unknown' : 'numbers';
  }

  /** True while blocks arrive whose meaning is not known: the hello is missing. */
  get wantsHello(): boolean {
    return !this.framed.hasHello && this.framed.blocksBeforeHello > 0;
  }

  get damage(): DamageCounts {
    const { framed, numbers } = this;
    return {
      badCrc: framed.badCrc,
      malformed: this.malformed + framed.malformed + framed.refusedBlocks + (numbers?.refused ?? 0),
      tooLong: this.tooLong,
      lostBlocks: framed.lostBlocks,
      restarts: framed.restarts + this.numberRestarts + (numbers?.restarts ?? 0),
    };
  }

  /** What the line loses at the moment, by the logger's own count of its blocks; null while it holds, or nothing is counted. */
  overloadAt(nowS: number): Overload | null {
    return this.framed.overloadAt(nowS);
  }

  /** How the logger's clock runs; null until it is known. */
  clock(): ClockReport | null {
    return this.framed.hasHello ? this.framed.report() : (this.numbers?.report() ?? null);
  }

  /** Lines refused since the start, of any kind. */
  get refusedLines(): number {
    const { framed, numbers } = this;
    return framed.badCrc + this.malformed + framed.malformed + framed.refusedBlocks + (numbers === null ? 0 : numbers.refused) + this.tooLong;
  }

  /** Decodes a piece of the byte stream, and hands on what it held. */
  push(bytes: Uint8Array, arrivalS: number): void {
    this.feed(bytes, arrivalS);
    this.numbers?.tick(arrivalS);
  }

  /** Decodes a piece of the byte stream; samples of number lines may stay gathered until the next `tick`. */
  feed(bytes: Uint8Array, arrivalS: number): void {
    this.nowS = arrivalS;
    this.splitter.push(bytes);
  }

  /** Takes one line, one character a byte, its LF already off. */
  line(text: string, arrivalS: number): void {
    this.nowS = arrivalS;
    // no byte has such a code: it is for one that fits nowhere
    this.lineOfBytes(Uint8Array.from(text, (character) => (character.charCodeAt(0) > 255 ? 0 : character.charCodeAt(0))), 0, text.length);
  }

  /** Lets time pass: hands on what was gathered, ends looks into a silence. Call a few times a second. */
  tick(nowS: number): void {
    this.numbers?.tick(nowS);
  }

  /** The connection was opened (again): a half line is forgotten, and what follows may be another logger. */
  reopened(): void {
    this.splitter.reset();
    this.firstLine = true;
    this.convincing = [];
    this.changes = 0;
    this.strays = 0;
    this.goodLines = 0;
    this.framed.interrupt();
    this.numbers?.interrupt();
  }

  /** The stream has ended: hands on all that was kept and whose time is known. */
  end(): void {
    this.giveUpConvincing();
    this.numbers?.flush();
  }

  private watched(bytes: Uint8Array, startIndex: number, endIndex: number, isTooLong: boolean): void {
    const { onLine } = this;
    const before = onLine === null ? 0 : this.refusedLines;
    if (isTooLong) this.tooLongLine();
    else this.lineOfBytes(bytes, startIndex, endIndex);
    onLine?.(bytes, startIndex, endIndex, this.refusedLines > before);
  }

  private tooLongLine(): void {
    this.firstLine = false;
    this.tooLong += 1;
    this.framed.tooLong(this.nowS);
  }

  private lineOfBytes(bytes: Uint8Array, startIndex: number, lineEnd: number): void {
    if (lineEnd - startIndex > MAX_LINE_BYTES) return this.tooLongLine();
    const first = this.firstLine;
    this.firstLine = false;
    const endIndex = lineEnd > startIndex && bytes[lineEnd - 1] === CR ? lineEnd - 1 : lineEnd;
    // a first line is as a rule the rest of one: only a checksum could prove it whole
    if (endIndex === startIndex || (first && !isWhole(bytes, startIndex, endIndex))) return;
    if (looksFramed(bytes, startIndex, endIndex)) {
      if (this.framed.line(bytes, startIndex, endIndex, this.nowS, this.lastS)) this.goodLines += 1;
      if (this.framed.hasHello) this.leaveNumbers();
    } else if (this.framed.hasHello) this.malformed += 1;
    else if (this.numbers === null || !this.usualNumbers(this.numbers, bytes, startIndex, endIndex)) this.numberLine(latin1(bytes, startIndex, endIndex), this.nowS);
  }

  /** A line of the shape that is being read, of digits, signs, dots and commas alone: what nearly all are. False for any other, which is then looked at closely. */
  private usualNumbers(numbers: NumberTrack, bytes: Uint8Array, startIndex: number, endIndex: number): boolean {
    const { fields, layout } = this;
    if (layout?.names !== undefined) return false;
    if (readNumbers(bytes, startIndex, endIndex, fields) !== this.shape) return false;
    this.goodNumbers(numbers, fields, this.nowS);
    return true;
  }

  private goodNumbers(track: NumberTrack, numbers: ArrayLike<number>, arrivalS: number): void {
    this.giveUpConvincing();
    this.goodLines += 1;
    this.linesOfShape += 1;
    if (this.linesOfShape === SETTLED_LINES) this.changes = 0;
    track.line(numbers, arrivalS);
  }

  private numberLine(line: string, arrivalS: number): void {
    // a comment stays one, even where its column is to be skipped
    const numbers = line.startsWith('#') ? null : parseNumbers(line, this.layout === null ? MAX_PLAIN_NUMBERS : MAX_FIELDS, this.layout);
    if (numbers === null && (line.startsWith('#') || line.trim() === '')) return;
    if (numbers === null || (this.layout !== null && numbers.length < this.layout.fields)) {
      this.malformed += 1;
      this.giveUpConvincing();
    } else if (this.numbers !== null && numbers.length === this.shape) this.goodNumbers(this.numbers, numbers, arrivalS);
    else {
      if (this.convincing.length > 0 && this.convincing[0].numbers.length !== numbers.length) this.giveUpConvincing();
      this.convincing.push({ numbers, arrivalS });
      if (this.convincing.length >= Math.min(MOST_CONVINCING_LINES, CONVINCING_LINES * CONVINCING_GROWTH ** this.changes)) this.beConvinced();
    }
  }

  private beConvinced(): void {
    const lines = this.convincing;
    this.convincing = [];
    if (this.numbers !== null) this.changes += 1;
    this.linesOfShape = 0;
    this.leaveNumbers();
    this.shape = lines[0].numbers.length;
    const layout = this.layout ?? plainLayout(this.shape);
    this.numbers = new NumberTrack(layout, this.sink, this.lastS);
    this.sink.logger(describeNumbers(layout));
    for (const { numbers, arrivalS } of lines) {
      this.goodLines += 1;
      this.numbers.line(numbers, arrivalS);
    }
  }

  private sayMixed(arrivalS: number): void {
    const text = words.linesOfDifferentShapes(this.shape, this.shape === 1 ? '' : 's');
    this.sink.notice({ atS: Math.max(0, arrivalS), code: 'mixed-lines', text });
  }

  /** Lines that looked like numbers of another shape, but too few to be believed. */
  private giveUpConvincing(): void {
    const lines = this.convincing;
    if (lines.length === 0) return;
    this.malformed += lines.length;
    this.convincing = [];
    if (this.numbers === null || this.strays >= STRAYS_TO_SAY) return;
    this.strays += lines.length;
    if (this.strays >= STRAYS_TO_SAY) this.sayMixed(lines[0].arrivalS);
  }

  private leaveNumbers(): void {
    if (this.numbers === null) return;
    this.numbers.flush();
    this.malformed += this.numbers.refused;
    this.numberRestarts += this.numbers.restarts;
    this.numbers = null;
  }
}

/** What is reported of a stream of plain numbers: the channels, without scale or range, as nothing is known of them. */
function describeNumbers(layout: LineLayout): DecodedLogger {
  const unknown = { scale: 1, zero: 0, range: [-Infinity, Infinity] as const };
  const channels: ChannelInfo[] = [{ name: 'current', unit: 'A', ...unknown }];
  if (layout.voltageAt >= 0) channels.push({ name: 'voltage', unit: 'V', ...unknown });
  return { kind: 'numbers', name: 'number lines', serial: null, firmware: null, rateHz: null, channels };
}
