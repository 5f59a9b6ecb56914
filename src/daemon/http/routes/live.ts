import { encodeSampleFrame } from '../../../core/wire/sample-frame.ts';
import { sendFrameBody, accepted } from './api-context.ts';
import { RequestError } from '../../errors.ts';
import type { Request, Response } from '../http-kit.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { holderOf } from '../door/door.ts';
import { parseTarget } from '../door/target.ts';
import type { Hub } from '../../live/hub.ts';
import type { Tickets } from '../door/tickets.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.live;

/** `/api/live/window`, `/api/live/charge` and the tickets for downloads. */
export function liveRoutes(hub: Hub, tickets: Tickets): readonly Route[] {
  const routes = new RouteList();
  routes.get('/live/window', 'view', async (request: Request, response: Response) => {
    const { from, to, columns } = accepted(check.window(request.query));
    sendFrameBody(response, encodeSampleFrame(await hub.window(from, to, columns)));
  });
  routes.get('/live/charge', 'view', async (request: Request, response: Response) => {
    const { from, to } = accepted(check.span(request.query));
    response.json(await hub.charge(from, to));
  });
  routes.post('/tickets', 'view', (request: Request, response: Response) => {
    const { path } = accepted(check.ticket(request.body));
    if (parseTarget(path) === null) throw new RequestError(400, 'bad-request', words.pathNotAnAddress);
    response.json({ url: tickets.issue(path, holderOf(response).id) });
  });
  return routes.all;
}
