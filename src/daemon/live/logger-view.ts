import type { LoggerView, ToPage } from '../../core/wire/messages.ts';
import type { LoggerInfo } from '../sources/source.ts';
import type { Feed } from './feed.ts';

/** The source in use and its logger, for the pages. */
export function sourceMessage(feed: Feed): ToPage {
  const { state, text } = feed.state;
  const port = feed.port();
  return { type: 'source', spec: feed.spec, state, text, logger: feed.logger === null ? null : loggerView(feed.logger), ...(port === null ? {} : { port }) };
}

function loggerView(info: LoggerInfo): LoggerView {
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
