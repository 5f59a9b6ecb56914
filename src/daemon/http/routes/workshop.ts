import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { keepLogo, MAX_LOGO_BYTES, readWorkshop, removeLogo, writeHeading } from '../../store/records/workshop.ts';
import { accepted, type ApiContext } from './api-context.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { asRequestErrorOfCall } from '../store-status.ts';
import { limitBytes, withScratch } from './uploads.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.workshop;

/** The workshop's own heading on the pages it hands over: typed lines and a logo. */
export function workshopRoutes({ store, scratchDir }: ApiContext): readonly Route[] {
  const routes = new RouteList();
  const { dataFolder } = store;

  routes.get('/workshop', 'view', async (_request: Request, response: Response) => {
    response.json(await readWorkshop(dataFolder));
  });
  routes.put('/workshop', 'operate', async (request: Request, response: Response) => {
    await writeHeading(dataFolder, accepted(check.heading(request.body)).heading);
    response.json(await readWorkshop(dataFolder));
  });
  routes.post('/workshop/logo', 'operate', async (request: Request, response: Response) => {
    await withScratch(scratchDir, async (folder) => {
      const path = join(folder, 'logo');
      await pipeline(request, limitBytes(MAX_LOGO_BYTES, words.aLogoHasAt), createWriteStream(path));
      await keepLogo(dataFolder, path);
    }).catch((error: unknown) => Promise.reject(asRequestErrorOfCall(error, words.keepTheLogo) ?? error));
    response.json(await readWorkshop(dataFolder));
  }, 'file');
  routes.post('/workshop/logo/remove', 'operate', async (_request: Request, response: Response) => {
    await removeLogo(dataFolder);
    response.json(await readWorkshop(dataFolder));
  });
  return routes.all;
}
