import type { ApiContext } from '../../src/daemon/http/routes/api-context.ts';
import { apiRoutes } from '../../src/daemon/http/routes/api.ts';
import type { Route } from '../../src/daemon/http/door/route-list.ts';
import type { Tickets } from '../../src/daemon/http/door/tickets.ts';
import type { DeviceParts } from '../../src/daemon/http/routes/devices.ts';
import type { Hub } from '../../src/daemon/live/hub.ts';
import { rawRequest, statusOf } from '../daemon/http/raw-request.ts';
import { addressOf, requestText, spellings } from '../daemon/http/spellings.ts';
import { must, type Attack } from './attack.ts';
import { startVictim } from './victim.ts';

const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'OPTIONS', 'DELETE', 'PATCH', 'TRACE'];
/** requests under way at once */
const AT_ONCE = 16;

/** Every route of the daemon's own list, in every spelling and by every method, without a key, with an old one, and with one that may look. */
export const door: Attack = {
  name: 'door',
  share: 0.1,
  async run({ forMs, folder, random }) {
    const victim = await startVictim(folder, 'sim:side-step-healthy');
    try {
      const routes = apiRoutes({ store: { dataFolder: folder } } as ApiContext, {} as Hub, {} as Tickets, {} as DeviceParts);
      const endMs = performance.now() + forMs;
      const order = shuffled(tries(routes, victim.port, victim.viewToken), random);
      let tried = 0;
      let opened = 0;
      let unanswered = 0;
      for (let at = 0; at < order.length && performance.now() < endMs; at += AT_ONCE) {
        await Promise.all(
          order.slice(at, at + AT_ONCE).map(async ({ method, target, key, body }) => {
            const status = statusOf(await rawRequest(victim.port, requestText(method, target, victim.port, key, body)).catch(() => ''));
            tried++;
            if (status >= 200 && status < 400) opened++;
            if (status === 0) unanswered++;
          }),
        );
      }
      return [
        { what: 'requests', value: tried, unit: `of ${order.length}` },
        { what: 'hung up on by the parser', value: unanswered, unit: '' },
        must('let in', opened, '', '0', opened === 0),
        must('daemon still runs', victim.isAlive() ? 1 : 0, '', '1', victim.isAlive()),
      ];
    } finally {
      await victim.stop();
    }
  },
};

interface Try {
  readonly method: string;
  readonly target: string;
  readonly key: string | null;
  readonly body: Route['body'];
}

/** All that must not open. */
function tries(routes: readonly Route[], port: number, viewKey: string): Try[] {
  const all: Try[] = [];
  for (const route of routes) {
    const address = addressOf(route);
    for (const key of [null, 'x'.repeat(32), viewKey]) {
      for (const method of METHODS) {
        for (const target of spellings(address, port)) all.push({ method, target, key, body: route.body });
        // in its right spelling it may be looked at with the key that may look
        if (key !== viewKey) all.push({ method, target: address, key, body: route.body });
      }
    }
    if (route.needs === 'operate') all.push({ method: route.method.toUpperCase(), target: address, key: viewKey, body: route.body });
  }
  return all;
}

function shuffled<T>(items: T[], random: () => number): T[] {
  for (let i = items.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [items[i], items[j]] = [items[j]!, items[i]!];
  }
  return items;
}
