import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DaemonError, messageOf, RequestError } from '../errors.ts';
import { apiRouter, checkAllDeclared, MAX_BODY_BYTES } from './door/api-router.ts';
import type { Route } from './door/route-list.ts';
import { express, type Express, type NextFunction, type Request, type Response } from './http-kit.ts';
import type { Door } from './door/door.ts';
import { asRequestErrorOfCall, asRequestErrorOfStore } from './store-status.ts';
import { StoreError } from '../store/files/store-error.ts';
import type { PathFilter } from './door/without-paths.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.app;

interface AppParts {
  readonly door: Door;
  readonly paths: PathFilter;
  readonly webDir: string;
  /** below /api */
  readonly routes: readonly Route[];
  readonly log: (text: string) => void;
}

/** The HTTP side: the checks of the door before everything, then the API behind its guard, then the built pages, which need nothing. */
export function createApp({ door, paths, webDir, routes, log }: AppParts): Express {
  const app = express();
  app.disable('x-powered-by');
  app.enable('case sensitive routing');
  app.enable('strict routing');
  app.use((request: Request, response: Response, next: NextFunction) => {
    door.enter(request, response);
    next();
  });
  app.use('/api', (_request: Request, response: Response, next: NextFunction) => {
    const send = response.send.bind(response);
    response.send = (body: unknown) => send(typeof body === 'string' ? paths.answer(body) : body);
    next();
  });
  app.use('/api', apiRouter(routes, (needs, request, response) => door.guard(needs, request, response)));
  app.use(express.static(webDir, { index: 'index.html', dotfiles: 'ignore', redirect: false, setHeaders: cacheHeaders }));
  app.use(() => {
    throw new RequestError(404, 'not-found', words.thereIsNoSuchPage);
  });
  app.use((error: unknown, _request: Request, response: Response, _next: NextFunction) => {
    const known = asRequestError(error);
    if (known.status >= 500) log(words.aRequestFailed(messageOf(error)));
    if (response.headersSent) response.destroy();
    else sendError(response, known.status, known.code, paths.sentence(known.message));
  });
  checkAllDeclared(app, routes);
  return app;
}

/** Where the built pages are: beside the built daemon, or in dist/ when the daemon runs from its sources. */
export function builtPages(): string {
  const fromSources = import.meta.url.endsWith('.ts');
  return fileURLToPath(new URL(fromSources ? '../../../dist/web' : '../../web', import.meta.url));
}

export function checkPages(webDir: string): void {
  if (!existsSync(join(webDir, 'index.html'))) throw new DaemonError('pages-missing', words.thePagesAreNot(webDir));
}

/** Names of built files carry a digest of their content; the page itself does not. */
function cacheHeaders(response: Response, path: string): void {
  response.set('Cache-Control', /[\\/]assets[\\/]/.test(path) ? 'private, max-age=31536000, immutable' : 'no-cache');
}

function sendError(response: Response, status: number, code: string, text: string): void {
  response.status(status).json({ error: { code, text } });
}

function asRequestError(error: unknown): RequestError {
  if (error instanceof RequestError) return error;
  if (error instanceof StoreError) return asRequestErrorOfStore(error);
  const failedCall = asRequestErrorOfCall(error, words.doThis);
  if (failedCall !== null) return failedCall;
  const { type, status } = error as { type?: unknown; status?: unknown };
  if (type === 'entity.too.large') return new RequestError(413, 'too-large', words.theBodyIsLarger(MAX_BODY_BYTES));
  if (type === 'entity.parse.failed') return new RequestError(400, 'bad-json', words.theBodyIsNot);
  if (typeof status === 'number' && status >= 400 && status < 500) return new RequestError(status, 'bad-request', words.theRequestCannotBeRead);
  return new RequestError(500, 'internal', words.somethingWentWrongInside);
}
