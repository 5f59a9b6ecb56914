import type { ApiContext } from './api-context.ts';
import type { Hub } from '../../live/hub.ts';
import { calibrationRoutes } from './calibration.ts';
import { deviceRoutes, type DeviceParts } from './devices.ts';
import { fileRoutes } from './files.ts';
import { jobStoryRoutes } from './job-story.ts';
import { jobRoutes } from './jobs.ts';
import { knownGoodRoutes } from './known-good.ts';
import { liveRoutes } from './live.ts';
import { portRoutes } from './ports.ts';
import { proveRoutes } from './prove.ts';
import { traceRoutes } from './traces.ts';
import { workshopRoutes } from './workshop.ts';
import type { Tickets } from '../door/tickets.ts';
import type { Route } from '../door/route-list.ts';

/** Every address of the API. The tests of the door take theirs from here, so a new route is tested by being in the list. */
export function apiRoutes(context: ApiContext, hub: Hub, tickets: Tickets, devices: DeviceParts): readonly Route[] {
  return [...liveRoutes(hub, tickets), ...jobRoutes(context, hub), ...jobStoryRoutes(context), ...traceRoutes(context), ...fileRoutes(context), ...proveRoutes(context), ...knownGoodRoutes(context), ...calibrationRoutes(context, hub), ...workshopRoutes(context), ...deviceRoutes(devices), ...portRoutes(context, hub)];
}
