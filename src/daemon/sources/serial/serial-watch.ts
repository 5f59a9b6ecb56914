import type { LineDecoder } from '../../../core/decode/decoder.ts';
import { explainArriving, explainDisturbed, explainReception, explainSearching, explainSilence, explainStopped, explainUnread, judgeReception, NOISE, USUAL_BAUDS, type Impression } from './recognition.ts';
import type { OpenPort } from './serial-port.ts';
import type { SourceState } from '../source.ts';

/** `?` is asked at once, and again while no logger has answered: a board in its boot loader does not hear the first. s */
const ASK_S = 0.7;
/** A port without a good line for this long, or for so many periods of a slow logger, is quiet. */
const QUIET = { afterS: 4, periods: 10 } as const;
/** Number lines that make a port live; a hello does at once. */
const CONVINCING_LINES = 3;
/** Readable bytes from which more than a greeting has come: a few lines. Common practice, no published source. */
const ARRIVING_BYTES = 200;

interface WatchParts {
  readonly path: string;
  /** null = find out */
  readonly baud: number | null;
  readonly decoder: LineDecoder;
  readonly port: OpenPort;
  /** seconds since the source was started */
  now(): number;
  tell(state: SourceState): void;
  /** one sentence on what is being read */
  describe(baud: number): string;
  /** the speed is about to be changed because the present one gave nothing: damage counted since the opening was noise */
  baudWasWrong(next: number): void;
}

/** Looks after one open connection, a few times a second: asks for the hello, finds the speed, and says how it goes. */
export class SerialWatch {
  readonly #parts: WatchParts;
  #baud: number;
  #since: number;
  #askedAtS = -Infinity;
  #live = false;
  #goodLines = 0;
  #lastGoodS: number;
  /** counts of the port when a good line last came */
  #atLastGood = { bytes: 0, oddBytes: 0 };
  #bytes = 0;
  #lastByteS: number;
  #hasHeard = false;
  #saidStopped = false;
  #tried = 1;
  #changing = false;
  #impression: Impression = 'waiting';

  constructor(parts: WatchParts, baud: number) {
    this.#parts = parts;
    this.#baud = baud;
    this.#since = parts.now();
    this.#lastGoodS = this.#since;
    this.#lastByteS = this.#since;
  }

  get isLive(): boolean {
    return this.#live;
  }

  tick(): void {
    const { decoder, port } = this.#parts;
    const nowS = this.#parts.now();
    decoder.tick(nowS);
    if (port.bytes !== this.#bytes) {
      this.#bytes = port.bytes;
      // with another speed they are counted from none: that is no arrival
      if (port.bytes > 0) {
        this.#lastByteS = nowS;
        this.#hasHeard = true;
      }
    }
    if (decoder.goodLines !== this.#goodLines) {
      this.#goodLines = decoder.goodLines;
      this.#lastGoodS = nowS;
      this.#atLastGood = { bytes: port.bytes, oddBytes: port.oddBytes };
    }
    if (this.#changing) return;
    if (decoder.kind === 'unknown' && nowS - this.#askedAtS >= ASK_S) {
      this.#askedAtS = nowS;
      this.#parts.port.write('?');
    }
    const understood = decoder.kind === 'logger' || (decoder.kind === 'numbers' && decoder.goodLines >= CONVINCING_LINES);
    if (!understood) this.#search(nowS);
    else this.#follow(nowS);
  }

  #follow(nowS: number): void {
    const { path, decoder, port } = this.#parts;
    const quietS = nowS - this.#lastGoodS;
    const periodS = 1 / (decoder.clock()?.rateHz ?? 1);
    if (quietS <= Math.max(QUIET.afterS, QUIET.periods * periodS)) {
      this.#live = true;
      this.#parts.tell({ state: 'live', text: this.#parts.describe(this.#baud) });
      return;
    }
    const noise = port.oddBytes - this.#atLastGood.oddBytes > NOISE.part * (port.bytes - this.#atLastGood.bytes);
    const silentS = nowS - this.#lastByteS;
    const unread = noise ? explainDisturbed(path, this.#baud) : explainUnread(path, Math.floor(quietS));
    this.#parts.tell({ state: 'lost', text: silentS < QUIET.afterS ? unread : explainSilence(path, Math.floor(silentS)) });
  }

  #search(nowS: number): void {
    const { path, baud, port } = this.#parts;
    const impression = judgeReception({ elapsedS: nowS - this.#since, bytes: port.bytes, oddBytes: port.oddBytes }, this.#tried === 1);
    const exhausted = this.#tried > USUAL_BAUDS.length;
    if (impression === 'noise' || this.#impression === 'waiting' || impression === 'text') this.#impression = impression;
    const silentS = nowS - this.#lastByteS;
    if (this.#hasHeard && silentS >= QUIET.afterS) {
      this.#saidStopped = true;
      this.#parts.tell({ state: 'connecting', text: explainStopped(path, Math.floor(silentS), this.#impression) });
      if (baud === null && impression !== 'text' && impression !== 'waiting') void this.#tryNext();
      return;
    }
    // nor does it go on to be said that nothing arrives
    const again = this.#saidStopped;
    this.#saidStopped = false;
    if (impression === 'waiting') {
      if (!exhausted || again) this.#parts.tell({ state: 'connecting', text: this.#sofar() });
      return;
    }
    if (impression === 'text' || baud !== null || exhausted) this.#parts.tell({ state: 'connecting', text: explainReception(path, this.#impression, baud) });
    if (baud === null && impression !== 'text') void this.#tryNext();
  }

  /** What is said while it is too early to judge. */
  #sofar(): string {
    const { path, port } = this.#parts;
    if (port.bytes - port.oddBytes > ARRIVING_BYTES) return explainArriving(path, this.#baud);
    return this.#impression === 'noise' ? explainSearching(path, this.#baud) : explainReception(path, 'waiting', this.#baud);
  }

  async #tryNext(): Promise<void> {
    const next = USUAL_BAUDS[(USUAL_BAUDS.indexOf(this.#baud) + 1) % USUAL_BAUDS.length]!;
    this.#changing = true;
    try {
      await this.#parts.port.setBaud(next);
      this.#parts.baudWasWrong(next);
      this.#baud = next;
      this.#tried += 1;
    } catch {
      // this computer cannot do that speed: the next one is tried at the next look
      this.#baud = next;
    }
    this.#since = this.#parts.now();
    this.#askedAtS = -Infinity;
    this.#changing = false;
  }
}
