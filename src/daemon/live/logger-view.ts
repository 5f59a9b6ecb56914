import type { LoggerView } from '../../core/wire/messages.ts';
import type { LoggerInfo } from '../sources/source.ts';

/** What a page is told of the logger. */
export function loggerView(info: LoggerInfo): LoggerView {
  return {
    kind: info.kind,
    name: info.name,
    serial: info.serial,
    firmware: info.firmware,
    channels: info.channels.map(({ name, unit, scale, zero }) => ({ name, unit, scale, zero })),
    rateHz: info.rateHz,
    hasVoltage: info.channels.some((channel) => channel.name === 'voltage'),
    currentRangeA: finiteRange(info),
    controls: info.controls ?? null,
  };
}

/** Range of the current channel; null when the source does not know it (JSON has no infinity either). */
export function finiteRange(info: LoggerInfo): readonly [number, number] | null {
  const range = info.channels.find((channel) => channel.name === 'current')?.range;
  return range !== undefined && Number.isFinite(range[0]) && Number.isFinite(range[1]) ? range : null;
}
