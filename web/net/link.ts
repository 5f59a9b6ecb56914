import type { FromPage, ToPage } from '../../src/core/wire/messages.ts';
import { LIVE_PATH, WIRE_PROTOCOL } from '../../src/core/wire/messages.ts';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { decodeSampleFrame } from '../../src/core/wire/sample-frame.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.link;

export type LinkState = 'connecting' | 'open' | 'lost' | 'refused';

interface LinkEvents {
  state(state: LinkState, text: string): void;
  message(message: ToPage): void;
  frame(frame: SampleFrame): void;
  /** a frame or message that could not be read; counted and shown */
  damaged(text: string): void;
}

/** Waits between tries, ms: quick at first (a daemon restarted by hand), then every 5 s. */
const RETRY_MS = [300, 700, 1500, 3000, 5000];

/** The page's end of the WebSocket: joins with the token, hands on what arrives, and comes back by itself when the daemon does. */
export class Link {
  private socket: WebSocket | null = null;
  private tries = 0;
  private stopped = false;
  private readonly events: LinkEvents;
  private readonly token: () => string;

  constructor(token: () => string, events: LinkEvents) {
    this.token = token;
    this.events = events;
  }

  open(): void {
    this.stopped = false;
    const scheme = location.protocol === 'https:' ? 'wss:' : 'ws:';
    const socket = new WebSocket(`${scheme}//${location.host}${LIVE_PATH}`);
    socket.binaryType = 'arraybuffer';
    this.socket = socket;
    let joined = false;
    socket.onopen = () => this.send({ type: 'join', protocol: WIRE_PROTOCOL, token: this.token() });
    socket.onmessage = ({ data }: MessageEvent<string | ArrayBuffer>) => {
      if (!joined) {
        joined = true;
        this.tries = 0;
        this.events.state('open', '');
      }
      if (typeof data === 'string') this.readText(data);
      else this.readFrame(data);
    };
    socket.onclose = (event) => {
      if (this.socket !== socket || this.stopped) return;
      this.socket = null;
      if (event.code === 4001 || event.code === 4003) {
        this.events.state('refused', event.reason);
        return;
      }
      this.events.state('lost', joined ? words.theProgramBehindThis : words.theProgramBehindThisPage);
      const waitMs = RETRY_MS[Math.min(this.tries++, RETRY_MS.length - 1)]!;
      setTimeout(() => {
        if (!this.stopped && this.socket === null) this.open();
      }, waitMs);
    };
  }

  /** Sends now or not at all: what a person asked for is not to be done minutes later when the link is back. Returns whether it went. */
  send(message: FromPage): boolean {
    if (this.socket === null || this.socket.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  close(): void {
    this.stopped = true;
    this.socket?.close();
    this.socket = null;
  }

  private readText(text: string): void {
    try {
      this.events.message(JSON.parse(text) as ToPage);
    } catch (error) {
      if (!(error instanceof SyntaxError)) throw error;
      this.events.damaged('a message that is not JSON');
    }
  }

  private readFrame(data: ArrayBuffer): void {
    const frame = decodeSampleFrame(data);
    if (typeof frame === 'string') this.events.damaged(frame);
    else this.events.frame(frame);
  }
}
