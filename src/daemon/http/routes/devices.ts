import type { DeviceMade } from '../../../core/wire/api.ts';
import { RequestError } from '../../errors.ts';
import { lanAddresses, qrRows } from '../addresses.ts';
import { accepted } from './api-context.ts';
import type { Devices } from '../door/devices.ts';
import { peerOf } from '../door/peer.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.devices;

export interface DeviceParts {
  readonly devices: Devices;
  readonly port: number;
  /** other devices can reach the daemon */
  readonly lan: boolean;
  /** ends what a device has open */
  readonly shutOut: (deviceId: string) => void;
}

/** Tablets: made, listed and shut out one by one. */
export function deviceRoutes({ devices, port, lan, shutOut }: DeviceParts): readonly Route[] {
  const routes = new RouteList();

  routes.get('/devices', 'operate', (_request: Request, response: Response) => {
    response.json(devices.list());
  });

  routes.post('/devices', 'operate', async (request: Request, response: Response) => {
    onlyHere(request);
    const { name, access } = accepted(check.device(request.body));
    const { device, key } = await devices.add(name, access);
    const urls = lan ? lanAddresses().map((address) => `http://${address}:${port}/#${key}`) : [];
    response.json({ device, key, urls, codes: urls.map(qrRows) } satisfies DeviceMade);
  });

  routes.post('/devices/:id/remove', 'operate', async (request: Request, response: Response) => {
    onlyHere(request);
    const id = accepted(check.id(request.params['id']));
    await devices.remove(id);
    shutOut(id);
    response.json({});
  });
  return routes.all;
}

/** A key that was lost must not be able to make another one, or to shut out the others. */
function onlyHere({ socket }: Request): void {
  if (!peerOf(socket).local) throw new RequestError(403, 'only-here', words.tabletsAreLetIn);
}
