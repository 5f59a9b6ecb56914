import { encodeSampleFrame } from '../core/wire/sample-frame.ts';
import { RequestError } from './errors.ts';
import { Router, type Request, type Response } from './http-kit.ts';
import type { Hub } from './hub.ts';
import type { Tickets } from './tickets.ts';
import { check, type Checked } from './wire-check.ts';

/** `/api/live/window` and the tickets for downloads. */
export function liveRoutes(hub: Hub, tickets: Tickets): Router {
  const router = Router();
  router.get('/live/window', (request: Request, response: Response) => {
    const { from, to, columns } = take(check.window(request.query));
    sendFrameBody(response, encodeSampleFrame(hub.window(from, to, columns)));
  });
  router.post('/tickets', (request: Request, response: Response) => {
    response.json({ url: tickets.issue(take(check.ticket(request.body)).path) });
  });
  return router;
}

/** The checked value, or 400 with the sentence that says which field is wrong. */
export function take<T>(checked: Checked<T>): T {
  if (!checked.ok) throw new RequestError(400, 'bad-request', checked.text);
  return checked.value;
}

export function sendFrameBody(response: Response, bytes: Uint8Array): void {
  response.type('application/octet-stream').send(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength));
}
