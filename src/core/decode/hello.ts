import { unitFactor } from '../units.ts';
import type { ChannelInfo, DecodedLogger } from './logger.ts';
import { language, significant } from '../present/language.ts';

const words = language.files.hello;

/** The one line-protocol number this program speaks. */
const LINE_PROTOCOL = 1;

/** Where the samples of a block lie and what they mean, from a hello. */
export interface BlockLayout {
  readonly rateHz: number;
  /** values per sample in a block */
  readonly width: number;
  readonly currentAt: number;
  /** -1 without a voltage channel */
  readonly voltageAt: number;
  readonly current: ChannelInfo;
  readonly voltage: ChannelInfo | null;
}

export interface Hello {
  readonly info: DecodedLogger;
  readonly layout: BlockLayout;
}

/** No logger for vehicle circuits samples faster, or sends more channels; bounds on strangers' words. */
const MAX_RATE_HZ = 1e6;
const MIN_RATE_HZ = 1e-3;
const MAX_CHANNELS = 8;
const MAX_TEXT = 80;
/** Readings beyond these come from a wrong scale, not from a 12 V or 24 V circuit. */
const MAX_VALUE = { current: 1e5, voltage: 1e4 } as const;

/** Reads the JSON of a hello; a text says why it is refused. Names are cut to 80 characters and freed of control characters. */
export function parseHello(json: string): Hello | string {
  let value: unknown;
  try {
    value = JSON.parse(utf8(json));
  } catch {
    return words.theLoggerDescribesItself;
  }
  if (!isRecord(value)) return words.theLoggerDescribesItselfIn;
  if (value.protocol !== LINE_PROTOCOL) {
    return words.theLoggerSpeaksLine(cleanText(String(value.protocol)), LINE_PROTOCOL);
  }
  const rateHz = value.rate_hz;
  if (!isNumber(rateHz) || rateHz < MIN_RATE_HZ || rateHz > MAX_RATE_HZ) return words.theLoggerNamesNo;
  if (!Array.isArray(value.channels) || value.channels.length < 1 || value.channels.length > MAX_CHANNELS) return words.theLoggerMustName(MAX_CHANNELS);
  let currentAt = 0;
  let voltageAt = -1;
  let current: ChannelInfo | null = null;
  let voltage: ChannelInfo | null = null;
  for (let i = 0; i < value.channels.length; i += 1) {
    const channel: unknown = value.channels[i];
    if (!isRecord(channel)) return words.channelOfTheLogger(i + 1);
    if (channel.name !== 'current' && channel.name !== 'voltage') continue;
    const info = readChannel(channel.name, channel);
    if (typeof info === 'string') return info;
    if (channel.name === 'current' && current === null) {
      current = info;
      currentAt = i;
    } else if (channel.name === 'voltage' && voltage === null) {
      voltage = info;
      voltageAt = i;
    }
  }
  if (current === null) return words.theLoggerHasNo;
  const channels = voltage === null ? [current] : [current, voltage];
  return {
    info: {
      kind: 'logger',
      name: typeof value.logger === 'string' && value.logger !== '' ? cleanText(value.logger) : 'unnamed logger',
      serial: typeof value.serial === 'string' && value.serial !== '' ? cleanText(value.serial) : null,
      firmware: typeof value.firmware === 'string' && value.firmware !== '' ? cleanText(value.firmware) : null,
      rateHz,
      channels,
    },
    layout: { rateHz, width: value.channels.length, currentAt, voltageAt, current, voltage },
  };
}

function readChannel(name: 'current' | 'voltage', channel: Record<string, unknown>): ChannelInfo | string {
  const siUnit = name === 'current' ? 'A' : 'V';
  const unit = channel.unit ?? siUnit;
  const factor = typeof unit === 'string' && unit.endsWith(siUnit) ? unitFactor(unit) : null;
  if (factor === null) return words.theLoggerGivesIn(name, siUnit, siUnit, siUnit);
  if (!isNumber(channel.scale) || channel.scale === 0) return words.theLoggerGivesNo(name);
  const scale = channel.scale * factor;
  const zero = channel.zero ?? 0;
  if (!isNumber(zero) || Math.abs(zero) > 65_536) return words.theLoggerGivesNoSensible(name);
  const farEnd = Math.max(Math.abs((-32_768 - zero) * scale), Math.abs((32_767 - zero) * scale));
  if (!(farEnd <= MAX_VALUE[name])) return words.theLoggersScaleFor(name, significant(farEnd, 2), siUnit);
  const bounds = [(-32_768 - zero) * scale, (32_767 - zero) * scale].sort((a, b) => a - b);
  let range: [number, number] = [bounds[0], bounds[1]];
  const said = channel.range;
  if (Array.isArray(said) && said.length === 2 && isNumber(said[0]) && isNumber(said[1]) && said[0] < said[1]) range = [said[0] * factor, said[1] * factor];
  return { name, unit: siUnit, scale, zero, range };
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

/** A stranger's word fit to be shown: at most 80 characters, control characters out. */
export function cleanText(text: string): string {
  let clean = '';
  for (const character of text.slice(0, 4 * MAX_TEXT)) {
    const code = character.codePointAt(0)!;
    if (code >= 32 && !(code >= 127 && code < 160) && code !== 0xfffd) clean += character;
  }
  return Array.from(clean.trim()).slice(0, MAX_TEXT).join('');
}

/** Lines are read one character a byte; this makes text of those bytes again (as they are, where they are no UTF-8). */
export function utf8(latin1: string): string {
  let escaped = '';
  for (let i = 0; i < latin1.length; i += 1) {
    const code = latin1.charCodeAt(i);
    escaped += code < 128 && code !== 37 ? latin1[i] : `%${(code & 0xff).toString(16).padStart(2, '0')}`;
  }
  try {
    return decodeURIComponent(escaped);
  } catch {
    return latin1;
  }
}
