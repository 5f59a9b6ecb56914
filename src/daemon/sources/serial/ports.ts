import type { PortAnswer } from '../../../core/wire/api.ts';
import { listOrNone } from './port-search.ts';
import { serialPorts, type PortAccess, type PortDetails } from './serial-port.ts';
import { SerialSource } from './serial-source.ts';
import type { LoggerInfo } from '../source.ts';
import { SYSTEM_TIMING, type Timing } from '../timing.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.sources.ports;

interface PortReport {
  readonly path: string;
  /** maker and USB numbers, as far as the operating system knows them */
  readonly description: string;
  readonly answers: PortAnswer['answers'];
  /** one sentence: what answers, or what to do */
  readonly text: string;
}

/** One port by itself. */
export async function askPort(access: PortAccess, port: PortDetails, timing: Timing = SYSTEM_TIMING, probeMs = PROBE_MS): Promise<PortAnswer> {
  const { report: { answers, text } } = await probePort(access, port, timing, probeMs);
  return { answers, text };
}

export interface Probe {
  readonly report: PortReport;
  readonly baud: number;
  /** lines came, whether readable or not */
  readonly talks: boolean;
  /** the port exists only as a name: no hardware behind it */
  readonly dead: boolean;
}

/** Long enough for a board's boot loader, a hello at the first speed, and a second of plain lines at the next ones. */
const PROBE_MS = 8000;

/** The serial devices seen, each asked whether a logger answers; all at the same time, about eight seconds when one stays silent. */
export async function listPorts(access: PortAccess = serialPorts(), timing: Timing = SYSTEM_TIMING, probeMs = PROBE_MS): Promise<PortReport[]> {
  const ports = await listOrNone(access);
  const probes = await Promise.all(ports.map((port) => probePort(access, port, timing, probeMs)));
  // a PC lists serial ports it does not have; they are of no use to anybody
  return probes.filter((probe) => !probe.dead).map((probe) => probe.report);
}

/** Opens one port for a while and says what answers. `onLogger` is called as soon as a logger does. */
export async function probePort(access: PortAccess, port: PortDetails, timing: Timing, probeMs: number): Promise<Probe> {
  const source = new SerialSource({ spec: `serial:${port.path}`, path: port.path, baud: null, columns: null }, access, timing);
  let text = '';
  const info = await new Promise<LoggerInfo | null>((resolve) => {
    const giveUp = timing.after(probeMs, () => resolve(null));
    const settle = (answer: LoggerInfo | null): void => {
      giveUp();
      resolve(answer);
    };
    source.start({
      logger: settle,
      state(state) {
        text = state.text;
        if (state.state === 'failed' || state.state === 'searching') settle(null);
      },
      samples: () => undefined,
      gap: () => undefined,
      notice: () => undefined,
      damage: () => undefined,
    });
  });
  const { baud, trouble } = source;
  const talks = source.line().heard.length > 0;
  await source.stop();
  const report = { path: port.path, description: describePort(port), ...answerOf(info, trouble?.kind ?? null, baud, text) };
  return { report, baud, talks, dead: trouble?.kind === 'dead' && port.vendorId === null };
}

function answerOf(info: LoggerInfo | null, trouble: string | null, baud: number, text: string): Pick<PortReport, 'answers' | 'text'> {
  if (info?.kind === 'logger') {
    const rate = info.rateHz === null ? '' : words.samplesASecond(info.rateHz);
    return { answers: 'logger', text: `${info.name}${info.serial === null ? '' : words.serial(info.serial)}${rate}.` };
  }
  if (info !== null) return { answers: 'numbers', text: words.linesOfNumbersAtBaud(baud) };
  if (trouble === 'busy' || trouble === 'denied') return { answers: trouble, text };
  return { answers: 'silent', text };
}

/** Maker, USB numbers and serial number, as far as they are known. */
export function describePort(port: PortDetails): string {
  const usb = port.vendorId !== null && port.productId !== null ? words.usb(port.vendorId, port.productId) : '';
  return [port.manufacturer ?? '', usb, port.serialNumber === null ? '' : words.serialOf(port.serialNumber)].filter((word) => word !== '').join(', ');
}
