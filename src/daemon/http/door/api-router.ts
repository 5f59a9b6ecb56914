import { RequestError } from '../../errors.ts';
import { express, Router, type Express, type NextFunction, type Request, type Response } from '../http-kit.ts';
import type { Needs } from './access.ts';
import { checkDeclared, type Route } from './route-list.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.apiRouter;

/** JSON bodies are small: a job, a mark, the options of a test. */
export const MAX_BODY_BYTES = 64 * 1024;

const TYPES = { json: 'application/json', file: 'application/octet-stream' } as const;

/** Throws when the sender of the request may not do what needs this. */
type Guard = (needs: Needs, request: Request, response: Response) => void;

/**
 * The API as one router. The check of what a route needs is in the same layer as its handler, so the two cannot disagree about
 * which route is meant. What no route answers needs `view`: a stranger does not learn which addresses exist.
 */
export function apiRouter(routes: readonly Route[], guard: Guard): Router {
  const router = Router({ caseSensitive: true, strict: true });
  router.use((_request: Request, response: Response, next: NextFunction) => {
    response.set('Cache-Control', 'no-store');
    next();
  });
  for (const route of routes) {
    checkDeclared(route);
    router.route(route.path)[route.method](guarded(guard, route.needs), ...bodyReaders(route.body), route.handler);
  }
  router.use(guarded(guard, 'view'), () => {
    throw new RequestError(404, 'not-found', words.thereIsNothingAt);
  });
  return router;
}

/** Throws when the application answers at an address that is in no list: such a handler would be outside the guard. */
export function checkAllDeclared(app: Express, routes: readonly Route[]): void {
  const declared = new Set(routes.map(({ method, path }) => `${method} ${path}`));
  for (const { path, methods } of handledRoutes(app.router as unknown as Layers)) {
    for (const method of methods) {
      if (!declared.has(`${method} ${path}`)) throw new Error(words.theRouteIsIn(method.toUpperCase(), path));
    }
  }
}

type Middleware = (request: Request, response: Response, next: NextFunction) => void;

function guarded(guard: Guard, needs: Needs): Middleware {
  return (request, response, next) => {
    guard(needs, request, response);
    next();
  };
}

/** Read only after the guard: a stranger's body is never taken in. A form of another site can send neither type. */
function bodyReaders(body: Route['body']): Middleware[] {
  if (body === 'none') return [];
  const typed: Middleware = (request, _response, next) => {
    const type = (request.headers['content-type'] ?? '').split(';')[0]!.trim().toLowerCase();
    if (type !== TYPES[body]) throw new RequestError(415, 'content-type', words.thisRequestNeedsContentType(TYPES[body]));
    next();
  };
  return body === 'file' ? [typed] : [typed, express.json({ limit: MAX_BODY_BYTES, strict: true, type: TYPES.json, inflate: false })];
}

/** The part of express that holds its layers (its types leave it out). */
interface Layers {
  readonly stack: readonly { readonly route?: { readonly path: string; readonly methods: Readonly<Record<string, boolean>> }; readonly handle: Partial<Layers> }[];
}

function handledRoutes({ stack }: Layers): { path: string; methods: string[] }[] {
  return stack.flatMap(({ route, handle }) => {
    if (route !== undefined) return [{ path: route.path, methods: Object.keys(route.methods) }];
    return handle.stack === undefined ? [] : handledRoutes(handle as Layers);
  });
}
