import { BlockClock, type PlacedBlock } from './block-clock.ts';
import { ColumnRoom } from './column-room.ts';
import { parseFramedLine, type FramedLine } from './framed-line.ts';
import { parseHello, type BlockLayout } from './hello.ts';
import type { ChannelInfo, ClockReport, DecoderSink, Overload } from './logger.ts';
import { MAX_LINE_BYTES } from './line-splitter.ts';
import { losingText, LossWatch, type StreamCounts } from './loss-watch.ts';

/** "@": a block */
const BLOCK_SIGN = 64;

/** Framed lines to samples: meaning from the hello, place in time from the block clock, counts of what was refused. */
export class FramedTrack {
  badCrc = 0;
  malformed = 0;
  blocksBeforeHello = 0;
  private readonly sink: DecoderSink;
  private layout: BlockLayout | null = null;
  private clock: BlockClock | null = null;
  private lastHello = '';
  private losses = new LossWatch();
  private tooLongInARow = 0;
  private lastS = -Infinity;
  private readonly room = new ColumnRoom();
  /** the counts of the block being read: no line carries more */
  private readonly counts = new Int16Array(MAX_LINE_BYTES);

  constructor(sink: DecoderSink) {
    this.sink = sink;
  }

  get hasHello(): boolean {
    return this.layout !== null;
  }

  get lostBlocks(): number {
    return this.clock?.lostBlocks ?? 0;
  }

  get refusedBlocks(): number {
    return this.clock?.refused ?? 0;
  }

  get restarts(): number {
    return this.clock?.restarts ?? 0;
  }

  report(): ClockReport | null {
    return this.clock?.report() ?? null;
  }

  /** Takes a framed line; true if it was understood. Times given out are later than `floorS`, what another track gave out. */
  line(bytes: Uint8Array, startIndex: number, endIndex: number, arrivalS: number, floorS: number): boolean {
    const parsed = parseFramedLine(bytes, startIndex, endIndex, this.layout === null ? null : this.layout.width, this.counts);
    switch (parsed.kind) {
      case 'hello':
        return this.hello(parsed.json);
      case 'block':
        return this.block(parsed, arrivalS, floorS);
      case 'notice':
        this.sink.notice({ atS: this.clock?.timeOf(parsed.deviceUs, arrivalS) ?? Math.max(0, arrivalS), code: parsed.code, text: parsed.text });
        return true;
      default:
        if (parsed.why === 'bad-crc') this.badCrc += 1;
        else if (this.layout === null && bytes[startIndex] === BLOCK_SIGN) this.blocksBeforeHello += 1;
        else this.malformed += 1;
        return false;
    }
  }

  /** A line came that is longer than any is read: a block that is missing, which its own count tells as soon as the next one is read. */
  tooLong(arrivalS: number): void {
    const { clock, layout } = this;
    if (clock === null || layout === null) return;
    this.tooLongInARow += 1;
    this.say(this.losses.note(this.lossCounts(clock), layout.rateHz, arrivalS));
  }

  /** What the line loses at the moment; null while it holds. */
  overloadAt(nowS: number): Overload | null {
    return this.losses.overloadAt(nowS);
  }

  /** The connection was opened again: what answers may be another logger, so blocks wait for its hello. */
  interrupt(): void {
    this.layout = null;
    this.lastHello = '';
    this.losses = new LossWatch();
    this.tooLongInARow = 0;
    this.clock?.interrupt();
  }

  private hello(json: string): boolean {
    if (json === this.lastHello) return true;
    const hello = parseHello(json);
    if (typeof hello === 'string') {
      this.malformed += 1;
      this.sink.notice({ atS: Math.max(0, this.lastS), code: 'hello-refused', text: hello });
      return false;
    }
    this.lastHello = json;
    this.layout = hello.layout;
    if (this.clock === null) this.clock = new BlockClock(hello.layout.rateHz);
    else this.clock.setRate(hello.layout.rateHz);
    this.sink.logger(hello.info);
    return true;
  }

  private block(block: Extract<FramedLine, { kind: 'block' }>, arrivalS: number, floorS: number): boolean {
    const { clock, layout } = this;
    if (clock === null || layout === null) return false;
    const { seq, deviceUs, count, counts } = block;
    const placed = clock.place({ seq, deviceUs, count, counts, layout }, arrivalS, floorS);
    for (let i = 0; i < placed.length; i += 1) this.handOn(placed[i]);
    this.tooLongInARow = 0;
    this.say(this.losses.block(this.lossCounts(clock), layout.rateHz, arrivalS));
    return true;
  }

  private lossCounts(clock: BlockClock): StreamCounts {
    return { lostBlocks: clock.lostBlocks + this.tooLongInARow, damaged: this.badCrc + this.malformed };
  }

  private say(losing: Overload | null): void {
    if (losing !== null) this.sink.notice({ atS: Math.max(0, this.lastS), code: 'losing', text: losingText(losing) });
  }

  private handOn(placed: PlacedBlock): void {
    const { block, startS, periodS } = placed;
    const { layout, count, counts } = block;
    const { width, currentAt, voltageAt, current, voltage } = layout;
    const columns = this.room.take(count, voltage !== null);
    const { timeS, currentA, voltageV } = columns;
    for (let i = 0; i < count; i += 1) timeS[i] = startS + i * periodS;
    scaled(counts, currentAt, width, current, currentA);
    if (voltage !== null && voltageV !== null) scaled(counts, voltageAt, width, voltage, voltageV);
    if (placed.gapFromS !== null) this.sink.gap({ startS: placed.gapFromS, endS: startS });
    this.lastS = timeS[count - 1];
    this.sink.samples(columns);
  }
}

/** Counts of one channel, every `width`th from `at` on, in its unit. */
function scaled(counts: Int16Array, at: number, width: number, { zero, scale }: ChannelInfo, into: Float32Array): void {
  for (let i = 0, k = at; i < into.length; i += 1, k += width) into[i] = (counts[k] - zero) * scale;
}
