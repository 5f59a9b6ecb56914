import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import type { TraceRef } from '../../src/core/wire/api.ts';
import type { LoggerCalibrations, NewCalibration, SteadyView } from '../../src/core/wire/calibration.ts';
import { request, tracePath } from '../net/api.ts';

export const steadyNow = (signal: AbortSignal): Promise<SteadyView> => answer('GET', '/api/live/steady', undefined, signal);
export const calibrationsOf = (logger: string): Promise<LoggerCalibrations> => answer('GET', `/api/calibrations?logger=${encodeURIComponent(logger)}`);
export const keep = (logger: string, name: string, calibration: NewCalibration): Promise<LoggerCalibrations> => answer('POST', '/api/calibrations', { logger, name, calibration });
export const takeBack = (logger: string, channel: string, at: string): Promise<LoggerCalibrations> => answer('POST', '/api/calibrations/take-back', { logger, channel, at });
export const applyToTrace = (ref: TraceRef, logger?: string): Promise<TraceRecord> => answer('POST', `${tracePath(ref)}/calibration`, { do: 'apply', ...(logger === undefined ? {} : { logger }) });
export const takeBackFromTrace = (ref: TraceRef): Promise<TraceRecord> => answer('POST', `${tracePath(ref)}/calibration`, { do: 'take-back' });

async function answer<Answer>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Answer> {
  const response = await request(method, path, body, signal);
  return (await response.json()) as Answer;
}
