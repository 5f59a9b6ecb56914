import { listOrNone, mayBeLogger } from './serial/port-search.ts';
import { probePort, type Probe } from './serial/ports.ts';
import type { PortAccess } from './serial/serial-port.ts';
import { SerialSource } from './serial/serial-source.ts';
import type { ControlAnswer, LineReport, Source, SourceCommand, SourceSink } from './source.ts';
import type { Timing } from './timing.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.sources.autoSource;

/** How long the devices that are plugged in are asked. */
const PROBE_MS = 6000;
/** How often it is looked whether a device has been plugged in since. */
const LOOK_MS = 3000;

/**
 * The first logger that answers, else the virtual vehicle. Once the virtual vehicle runs it is not left by itself: somebody may be
 * recording it. A device plugged in later is named in the state, and it is for the person to choose it.
 */
export class AutoSource implements Source {
  readonly spec = 'auto';
  readonly #access: PortAccess;
  readonly #timing: Timing;
  readonly #virtual: (because: string) => Source;
  #chosen: Source | null = null;
  #stopped = false;
  #choosing: Promise<void> = Promise.resolve();
  #endLooks: () => void = () => undefined;

  constructor(access: PortAccess, timing: Timing, virtual: (because: string) => Source) {
    this.#access = access;
    this.#timing = timing;
    this.#virtual = virtual;
  }

  start(sink: SourceSink): void {
    this.#choosing = this.#choose(sink);
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    this.#endLooks();
    await this.#choosing;
    await this.#chosen?.stop();
  }

  line(): LineReport | null {
    return this.#chosen?.line?.() ?? null;
  }

  port(): string | null {
    return this.#chosen?.port?.() ?? null;
  }

  control(command: SourceCommand): ControlAnswer {
    return this.#chosen?.control(command) ?? { ok: false, text: words.stillLookingForALogger };
  }

  async #choose(sink: SourceSink): Promise<void> {
    const ports = (await listOrNone(this.#access)).filter(mayBeLogger);
    let probes: readonly Probe[] = [];
    if (ports.length > 0 && !this.#stopped) {
      sink.state({ state: 'searching', text: words.askingForALogger(ports.map((port) => port.path).join(', ')) });
      probes = await this.#askAll(ports);
    }
    if (this.#stopped) return;
    const found = probes.find((probe) => probe.report.answers === 'logger') ?? probes.find((probe) => probe.report.answers === 'numbers');
    if (found !== undefined) {
      const { path } = found.report;
      this.#chosen = new SerialSource({ spec: this.spec, path, baud: null, columns: null, firstBaud: found.baud }, this.#access, this.#timing);
      this.#chosen.start(sink);
      return;
    }
    this.#chosen = this.#virtual(noLogger(probes));
    this.#chosen.start(sink);
    this.#lookForNew(sink, new Set(ports.map((port) => port.path)));
  }

  /** Asks all at once; the first hello ends it, plain numbers count only when no hello came. */
  async #askAll(ports: Parameters<typeof probePort>[1][]): Promise<readonly Probe[]> {
    const asked = ports.map((port) => probePort(this.#access, port, this.#timing, PROBE_MS));
    const all = Promise.all(asked);
    const firstLogger = new Promise<readonly Probe[]>((resolve) => {
      for (const probe of asked) void probe.then((answer) => (answer.report.answers === 'logger' ? resolve([answer]) : undefined));
    });
    return Promise.race([firstLogger, all]);
  }

  #lookForNew(sink: SourceSink, known: Set<string>): void {
    let looking = false;
    this.#endLooks = this.#timing.every(LOOK_MS, () => {
      if (looking) return;
      looking = true;
      void listOrNone(this.#access).then((ports) => {
        looking = false;
        if (this.#stopped) return;
        const added = ports.filter((port) => mayBeLogger(port) && !known.has(port.path));
        known.clear();
        for (const port of ports) known.add(port.path);
        if (added.length > 0) sink.state({ state: 'live', text: words.virtualVehicleADevice(added[0]!.path, added[0]!.path) });
      });
    });
  }
}

/** Why it is the virtual vehicle. A device that talks but cannot be read is most likely the logger, and one that may not be opened may be. */
function noLogger(probes: readonly Probe[]): string {
  const talking = probes.find((probe) => probe.talks);
  if (talking !== undefined) return words.noLoggerAnswersOf(words.linesButNoReading(talking.report.path));
  const hindered = probes.find(({ report }) => report.answers === 'denied' || report.answers === 'busy');
  return hindered === undefined ? words.noLoggerAnswers : words.noLoggerAnswersOf(hindered.report.text);
}
