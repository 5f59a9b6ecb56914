import { encodeSampleFrame } from '../../core/wire/sample-frame.ts';
import { sendFrameBody, take } from './api-context.ts';
import { Router, type Request, type Response } from './http-kit.ts';
import type { Hub } from '../live/hub.ts';
import type { Tickets } from './tickets.ts';
import { check } from './wire-check.ts';

/** `/api/live/window`, `/api/live/charge` and the tickets for downloads. */
export function liveRoutes(hub: Hub, tickets: Tickets): Router {
  const router = Router();
  router.get('/live/window', async (request: Request, response: Response) => {
    const { from, to, columns } = take(check.window(request.query));
    sendFrameBody(response, encodeSampleFrame(await hub.window(from, to, columns)));
  });
  router.get('/live/charge', async (request: Request, response: Response) => {
    const { from, to } = take(check.span(request.query));
    response.json(await hub.charge(from, to));
  });
  router.post('/tickets', (request: Request, response: Response) => {
    response.json({ url: tickets.issue(take(check.ticket(request.body)).path) });
  });
  return router;
}
