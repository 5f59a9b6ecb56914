import type { PortAnswer } from '../../../core/wire/api.ts';
import { language } from '../../../core/present/language.ts';
import { RequestError } from '../../errors.ts';
import type { Hub } from '../../live/hub.ts';
import { seePorts } from '../../sources/serial/port-list.ts';
import { listOrNone } from '../../sources/serial/port-search.ts';
import { askPort } from '../../sources/serial/ports.ts';
import { accepted, type ApiContext } from './api-context.ts';
import { peerOf } from '../door/peer.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { check } from '../wire-check.ts';

const words = language.daemon.http.ports;

/** The serial devices of this computer, for a person who sets a logger up; other devices do not learn how it is laid out. */
export function portRoutes({ ports: access }: ApiContext, hub: Hub): readonly Route[] {
  const routes = new RouteList();
  let asking = false;

  routes.get('/ports', 'operate', async (request: Request, response: Response) => {
    onlyHere(request);
    response.json(await seePorts(access, hub.feed.port()));
  });

  routes.post('/ports/ask', 'operate', async (request: Request, response: Response) => {
    onlyHere(request);
    const { path } = accepted(check.port(request.body));
    if (path === hub.feed.port()) throw new RequestError(409, 'in-use', words.isBeingRead(path));
    const port = (await listOrNone(access)).find((one) => one.path === path);
    if (port === undefined) throw new RequestError(404, 'not-found', words.isGone(path));
    if (asking) throw new RequestError(409, 'in-use', words.anotherIsAsked);
    asking = true;
    try {
      response.json((await askPort(access, port)) satisfies PortAnswer);
    } finally {
      asking = false;
    }
  });
  return routes.all;
}

function onlyHere({ socket }: Request): void {
  if (!peerOf(socket).local) throw new RequestError(403, 'only-here', words.onlyHere);
}
