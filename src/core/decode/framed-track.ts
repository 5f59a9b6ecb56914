import { BlockClock, type PlacedBlock } from './block-clock.ts';
import { crc16 } from './crc16.ts';
import { looksFramed, parseFramedLine, type FramedLine } from './framed-line.ts';
import { parseHello, type BlockLayout } from './hello.ts';
import type { ClockReport, DecoderSink } from './logger.ts';
import { losingText, LossWatch } from './loss-watch.ts';

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
  private lastS = -Infinity;

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

  /** True if the checksum proves this line whole. */
  isWhole(line: string): boolean {
    const star = line.length - 5;
    return looksFramed(line) && star > 0 && line[star] === '*' && line.slice(star + 1).toUpperCase() === crc16(line, 1, star).toString(16).toUpperCase().padStart(4, '0');
  }

  /** Takes a framed line; true if it was understood. Times given out are later than `floorS`, what another track gave out. */
  line(line: string, arrivalS: number, floorS: number): boolean {
    const parsed = parseFramedLine(line, this.layout === null ? null : this.layout.width);
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
        else if (this.layout === null && line.startsWith('@')) this.blocksBeforeHello += 1;
        else this.malformed += 1;
        return false;
    }
  }

  /** The connection was opened again: what answers may be another logger, so blocks wait for its hello. */
  interrupt(): void {
    this.layout = null;
    this.lastHello = '';
    this.losses = new LossWatch();
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
    for (const placed of clock.place({ ...block, layout }, arrivalS, floorS)) this.handOn(placed);
    const losing = this.losses.block({ lostBlocks: clock.lostBlocks, damaged: this.badCrc + this.malformed }, layout.rateHz, arrivalS);
    if (losing !== null) this.sink.notice({ atS: Math.max(0, this.lastS), code: 'losing', text: losingText(losing) });
    return true;
  }

  private handOn(placed: PlacedBlock): void {
    const { block, startS, periodS } = placed;
    const { layout, count, counts } = block;
    const { width, currentAt, voltageAt, current, voltage } = layout;
    const timeS = new Float64Array(count);
    const currentA = new Float32Array(count);
    const voltageV = voltage === null ? null : new Float32Array(count);
    for (let i = 0; i < count; i += 1) {
      timeS[i] = startS + i * periodS;
      currentA[i] = (counts[i * width + currentAt] - current.zero) * current.scale;
    }
    if (voltage !== null && voltageV !== null) {
      for (let i = 0; i < count; i += 1) voltageV[i] = (counts[i * width + voltageAt] - voltage.zero) * voltage.scale;
    }
    if (placed.gapFromS !== null) this.sink.gap({ startS: placed.gapFromS, endS: startS });
    this.lastS = timeS[count - 1];
    this.sink.samples({ timeS, currentA, voltageV });
  }
}
