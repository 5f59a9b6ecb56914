import { WebSocket } from 'ws';
import { WIRE_PROTOCOL, type FromPage, type ToPage } from '../../src/core/wire/messages.ts';
import type { TraceDetail, TraceView } from '../../src/core/wire/api.ts';
import { wait } from './attack.ts';
import type { Victim } from './victim.ts';

/** Common practice, no published source: nobody looks at a page that does nothing for longer. */
const GIVE_UP_MS = 15_000;

/** The person at work while others attack: one page that watches, and requests now and then. */
export class Person {
  readonly #victim: Victim;
  readonly #socket: WebSocket;
  readonly #messages: ToPage[] = [];
  frames = 0;
  longestSilenceMs = 0;
  #lastFrameMs = performance.now();
  closed = false;

  private constructor(victim: Victim, socket: WebSocket) {
    this.#victim = victim;
    this.#socket = socket;
    socket.on('message', (data, binary) => {
      if (!binary) return void this.#messages.push(JSON.parse(String(data)) as ToPage);
      const nowMs = performance.now();
      if (this.frames++ > 0) this.longestSilenceMs = Math.max(this.longestSilenceMs, nowMs - this.#lastFrameMs);
      this.#lastFrameMs = nowMs;
      return undefined;
    });
    socket.on('close', () => (this.closed = true));
    socket.on('error', () => (this.closed = true));
  }

  /** Joins as the page does, which tries again after a moment (web/net/link.ts); null when it cannot. */
  static async open(victim: Victim): Promise<Person | null> {
    for (const waitMs of [300, 700, 1500, 0]) {
      const person = await Person.join(victim).catch(() => null);
      if (person !== null) return person;
      await wait(waitMs);
    }
    return null;
  }

  static async join(victim: Victim): Promise<Person> {
    const origin = `http://127.0.0.1:${victim.port}`;
    const socket = new WebSocket(`ws://127.0.0.1:${victim.port}/live`, { origin });
    const person = new Person(victim, socket);
    await new Promise<void>((resolve, reject) => {
      socket.once('open', () => resolve());
      socket.once('error', reject);
    });
    person.send({ type: 'join', protocol: WIRE_PROTOCOL, token: victim.token });
    await person.until(() => person.last('hello'));
    return person;
  }

  send(message: FromPage): void {
    this.#socket.send(JSON.stringify(message));
  }

  last<Type extends ToPage['type']>(type: Type): Extract<ToPage, { type: Type }> | undefined {
    return this.#messages.findLast((message): message is Extract<ToPage, { type: Type }> => message.type === type);
  }

  async until<T>(seen: () => T | null | undefined | false): Promise<T> {
    for (;;) {
      const value = seen();
      if (value) return value;
      if (this.closed) throw new Error('the page was closed');
      await wait(10);
    }
  }

  /** Starts a recording and says how to stop it; the answer of that is the recording as the disk has it. */
  async record(): Promise<() => Promise<TraceDetail>> {
    this.send({ type: 'record', do: 'start' });
    const { jobId, traceId } = await this.until(() => this.last('recording')?.recording);
    return async () => {
      this.send({ type: 'record', do: 'stop' });
      await this.until(() => this.last('recording')?.recording === null);
      return (await (await this.ask(`/api/traces/${jobId}/${traceId}`)).json()) as TraceDetail;
    };
  }

  async traces(): Promise<TraceView[]> {
    return (await (await this.ask('/api/traces')).json()) as TraceView[];
  }

  /** A request on a connection of its own, as a page that has just been opened makes it. A browser tries once more when it is cut off. */
  async ask(path: string): Promise<Response> {
    const go = (): Promise<Response> => fetch(`http://127.0.0.1:${this.#victim.port}${path}`, { headers: { Authorization: `Bearer ${this.#victim.token}`, Connection: 'close' }, signal: AbortSignal.timeout(GIVE_UP_MS) });
    return go().catch(go);
  }

  leave(): void {
    this.#socket.terminate();
  }
}
