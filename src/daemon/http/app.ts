import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { DaemonError, messageOf, RequestError } from '../errors.ts';
import { express, type Express, type NextFunction, type Request, type Response, type Router } from './http-kit.ts';
import { securityHeaders, type Gate } from './security.ts';
import { asRequestErrorOfStore } from './store-status.ts';
import { StoreError } from '../store/store-error.ts';
import type { Tickets } from './tickets.ts';

/** JSON bodies are small: a job, a mark, the options of a test. */
export const MAX_BODY_BYTES = 64 * 1024;

export interface AppParts {
  readonly gate: Gate;
  readonly tickets: Tickets;
  readonly webDir: string;
  /** mounted at /api, in order */
  readonly routes: readonly Router[];
  readonly log: (text: string) => void;
}

/** The HTTP side: gate and headers before everything, then the API, then the built pages. */
export function createApp({ gate, tickets, webDir, routes, log }: AppParts): Express {
  const app = express();
  app.disable('x-powered-by');
  app.use((request: Request, response: Response, next: NextFunction) => {
    const refusal = gate.request({ method: request.method, url: request.url, headers: request.headers }, tickets.redeem(request.method, request.url));
    response.set(securityHeaders(refusal === null ? String(request.headers.host).toLowerCase() : ''));
    if (refusal === null) return next();
    // the body, if any, is not read: the connection closes behind the answer
    response.set('Connection', 'close');
    sendError(response, new RequestError(refusal.status, refusal.code, refusal.text));
  });
  app.use('/api', (_request: Request, response: Response, next: NextFunction) => {
    response.set('Cache-Control', 'no-store');
    next();
  });
  app.use('/api', requireJson, express.json({ limit: MAX_BODY_BYTES, strict: true, type: 'application/json', inflate: false }));
  for (const router of routes) app.use('/api', router);
  app.use('/api', () => {
    throw new RequestError(404, 'not-found', 'There is nothing at this address.');
  });
  app.use(express.static(webDir, { index: 'index.html', dotfiles: 'ignore', redirect: false, setHeaders: cacheHeaders }));
  app.use(() => {
    throw new RequestError(404, 'not-found', 'There is no such page.');
  });
  app.use((error: unknown, _request: Request, response: Response, _next: NextFunction) => {
    const known = asRequestError(error);
    if (known.status >= 500) log(`A request failed: ${messageOf(error)}`);
    if (response.headersSent) response.destroy();
    else sendError(response, known);
  });
  return app;
}

/** Where the built pages are: beside the built daemon, or in dist/ when the daemon runs from its sources. */
export function builtPages(): string {
  const fromSources = import.meta.url.endsWith('.ts');
  return fileURLToPath(new URL(fromSources ? '../../../dist/web' : '../../web', import.meta.url));
}

export function checkPages(webDir: string): void {
  if (!existsSync(join(webDir, 'index.html'))) throw new DaemonError('pages-missing', `The pages are not built (${webDir} has no index.html): run npm run build.`);
}

/** Changing requests carry JSON; only the import takes a file as it is. A form of another site can send neither. */
function requireJson(request: Request, _response: Response, next: NextFunction): void {
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    const type = (request.headers['content-type'] ?? '').split(';')[0]!.trim().toLowerCase();
    const wanted = request.path === '/import' ? 'application/octet-stream' : 'application/json';
    if (type !== wanted) throw new RequestError(415, 'content-type', `This request needs Content-Type: ${wanted}.`);
  }
  next();
}

/** Names of built files carry a digest of their content; the page itself does not. */
function cacheHeaders(response: Response, path: string): void {
  response.set('Cache-Control', /[\\/]assets[\\/]/.test(path) ? 'private, max-age=31536000, immutable' : 'no-cache');
}

function sendError(response: Response, { status, code, message }: RequestError): void {
  response.status(status).json({ error: { code, text: message } });
}

function asRequestError(error: unknown): RequestError {
  if (error instanceof RequestError) return error;
  if (error instanceof StoreError) return asRequestErrorOfStore(error);
  const { type, status } = error as { type?: unknown; status?: unknown };
  if (type === 'entity.too.large') return new RequestError(413, 'too-large', `The body is larger than ${MAX_BODY_BYTES} bytes.`);
  if (type === 'entity.parse.failed') return new RequestError(400, 'bad-json', 'The body is not valid JSON.');
  if (typeof status === 'number' && status >= 400 && status < 500) return new RequestError(status, 'bad-request', 'The request cannot be read.');
  return new RequestError(500, 'internal', 'Something went wrong inside the daemon; its terminal says what.');
}
