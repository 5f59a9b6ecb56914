import type { ApiContext } from './api-context.ts';
import type { Hub } from '../live/hub.ts';
import { calibrationRoutes } from './routes-calibration.ts';
import { deviceRoutes, type DeviceParts } from './routes-devices.ts';
import { fileRoutes } from './routes-files.ts';
import { jobStoryRoutes } from './routes-job-story.ts';
import { jobRoutes } from './routes-jobs.ts';
import { knownGoodRoutes } from './routes-known-good.ts';
import { liveRoutes } from './routes-live.ts';
import { proveRoutes } from './routes-prove.ts';
import { traceRoutes } from './routes-traces.ts';
import { workshopRoutes } from './routes-workshop.ts';
import type { Tickets } from './door/tickets.ts';
import type { Route } from './door/route-list.ts';

/** Every address of the API. The tests of the door take theirs from here, so a new route is tested by being in the list. */
export function apiRoutes(context: ApiContext, hub: Hub, tickets: Tickets, devices: DeviceParts): readonly Route[] {
  return [...liveRoutes(hub, tickets), ...jobRoutes(context, hub), ...jobStoryRoutes(context), ...traceRoutes(context), ...fileRoutes(context), ...proveRoutes(context), ...knownGoodRoutes(context), ...calibrationRoutes(context, hub), ...workshopRoutes(context), ...deviceRoutes(devices)];
}
