import { correctionOf, type CalibrationRecord } from '../../../core/analysis/uncertainty/calibration.ts';
import { language } from '../../../core/present/language.ts';
import type { LoggerCalibrations, NewCalibration } from '../../../core/wire/calibration.ts';
import { RequestError } from '../../errors.ts';
import type { Hub } from '../../live/hub.ts';
import { keepCalibration, keptOfLogger, takeBackKept } from '../../store/records/logger-calibrations.ts';
import { applyCalibration, takeBackCalibration } from '../../store/records/trace-calibration.ts';
import { dropResult } from '../../store/records/result-cache.ts';
import { accepted, traceRef, type ApiContext } from './api-context.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { check } from '../wire-check.ts';

const MS_PER_DAY = 86_400_000;

/** Calibrations of loggers, and of the traces that are read with them. */
export function calibrationRoutes({ store, views, clock }: ApiContext, hub: Hub): readonly Route[] {
  const routes = new RouteList();

  routes.get('/calibrations', 'view', async (request: Request, response: Response) => {
    const logger = accepted(check.loggerName(request.query['logger']));
    response.json({ logger, ...(await keptOfLogger(store.dataFolder, logger)) } satisfies LoggerCalibrations);
  });

  routes.post('/calibrations', 'operate', async (request: Request, response: Response) => {
    const { logger, name, calibration } = accepted(check.newCalibration(request.body));
    const record = recordOf(calibration, clock.date());
    const correction = correctionOf(record);
    if (typeof correction === 'string') throw new RequestError(400, 'bad-request', language.calibration.refused(language.calibration.faults[correction]));
    const kept = await keepCalibration(store.dataFolder, logger, record, name);
    hub.calibrations.lookAgain();
    response.json({ logger, ...kept } satisfies LoggerCalibrations);
  });

  routes.post('/calibrations/take-back', 'operate', async (request: Request, response: Response) => {
    const { logger, channel, at } = accepted(check.keptCalibration(request.body));
    const kept = await takeBackKept(store.dataFolder, logger, { channel, at }, clock.date());
    hub.calibrations.lookAgain();
    response.json({ logger, ...kept } satisfies LoggerCalibrations);
  });

  routes.get('/live/steady', 'view', (_request: Request, response: Response) => {
    response.json(hub.steady());
  });

  routes.post('/traces/:job/:trace/calibration', 'operate', async (request: Request, response: Response) => {
    const asked = accepted(check.traceCalibration(request.body));
    const path = await store.path(traceRef(request));
    await views.forget(path);
    const { record } = asked.do === 'apply' ? await applyCalibration(path, store.dataFolder, asked.logger) : await takeBackCalibration(path, clock.date());
    await dropResult(path);
    response.json(record);
  });
  return routes.all;
}

function recordOf({ due_days: days, ...known }: NewCalibration, now: Date): CalibrationRecord {
  return { ...known, at: now.toISOString(), due: days === null ? null : new Date(now.getTime() + days * MS_PER_DAY).toISOString(), taken_back: null };
}
