import type { SampleBlock } from '../../src/core/trace.ts';
import type { ChannelSpec } from '../../src/simulate/sensor.ts';
import { encodeInt16, frameLine } from '../core/decode/encode.ts';

interface LineLogger {
  readonly rateHz: number;
  readonly channels: readonly ChannelSpec[];
}

interface LineLoggerOptions {
  readonly serial?: string;
  /** what the logger's own clock shows at time 0, microseconds; near 2^32 it soon wraps */
  readonly clockStartUs?: number;
  /** its clock runs fast by this much */
  readonly clockPpm?: number;
}

const UINT32 = 2 ** 32;

/**
 * The framed lines (CONTRACT section 4) a logger on the virtual vehicle would send, line ends included, so that everything from the
 * decoder up can be fed without hardware. Values are turned back into the counts they came from, so a decoder gives the very samples
 * the vehicle gave.
 */
export class LoggerLines {
  readonly #logger: LineLogger;
  readonly #serial: string;
  readonly #clockStartUs: number;
  readonly #clockFactor: number;
  #seq = 0;

  constructor(logger: LineLogger, options: LineLoggerOptions = {}) {
    this.#logger = logger;
    this.#serial = options.serial ?? 'virtual-1';
    this.#clockStartUs = options.clockStartUs ?? 0;
    this.#clockFactor = 1 + (options.clockPpm ?? 0) * 1e-6;
  }

  /** `#{…}`: sent at start and when asked with `?` */
  hello(): string {
    return line('#', JSON.stringify({
      protocol: 1,
      logger: 'virtual logger',
      serial: this.#serial,
      firmware: 'virtual',
      rate_hz: this.#logger.rateHz,
      channels: this.#logger.channels,
    }));
  }

  /** `@SEQ,T_US,N,BASE64`: one block of samples as the vehicle gave them; at most 6000 samples over all channels fit a line */
  block(samples: SampleBlock): string {
    const { channels } = this.#logger;
    const length = samples.timeS.length;
    const counts = new Int16Array(length * channels.length);
    channels.forEach((channel, place) => {
      const values = channel.name === 'current' ? samples.currentA : samples.voltageV;
      if (values === null) throw new Error(`the block carries no ${channel.name}, which the logger names as a channel`);
      for (let i = 0; i < length; i++) counts[i * channels.length + place] = Math.round(values[i] / channel.scale) + channel.zero;
    });
    const body = `${this.#seq},${this.#clockUs(samples.timeS[0])},${length},${encodeInt16(counts)}`;
    this.#seq = (this.#seq + 1) % UINT32;
    return line('@', body);
  }

  /** `!SEQ,T_US,CODE,TEXT`: an overrun, a brown-out, the mark button; carries the number of the next block */
  notice(atS: number, code: string, text: string): string {
    return line('!', `${this.#seq},${this.#clockUs(atS)},${code},${text}`);
  }

  /** the logger was switched off and on: its count begins anew */
  restart(): void {
    this.#seq = 0;
  }

  #clockUs(timeS: number): number {
    return Math.round(this.#clockStartUs + timeS * 1e6 * this.#clockFactor) % UINT32;
  }
}

function line(first: '#' | '@' | '!', body: string): string {
  return `${frameLine(first, body)}\n`;
}
