import type { Request, Response } from '../http-kit.ts';
import { isNeeds, type Needs } from './access.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.routeList;

type Handler = (request: Request, response: Response) => unknown;

/** One address of the API. */
export interface Route {
  readonly method: 'get' | 'post' | 'put';
  /** below /api; `:name` stands for one segment */
  readonly path: string;
  readonly needs: Needs;
  /** what the request carries: a small JSON document, or a file as it is */
  readonly body: 'none' | 'json' | 'file';
  readonly handler: Handler;
}

/** Routes as data: each is written down with what it needs, and api-router.ts puts that check in front of its handler. */
export class RouteList {
  readonly #routes: Route[] = [];

  get all(): readonly Route[] {
    return this.#routes;
  }

  get(path: string, needs: Needs, handler: Handler): void {
    this.#add({ method: 'get', path, needs, body: 'none', handler });
  }

  post(path: string, needs: Needs, handler: Handler, body: 'json' | 'file' = 'json'): void {
    this.#add({ method: 'post', path, needs, body, handler });
  }

  put(path: string, needs: Needs, handler: Handler): void {
    this.#add({ method: 'put', path, needs, body: 'json', handler });
  }

  #add(route: Route): void {
    checkDeclared(route);
    this.#routes.push(route);
  }
}

/** A programmer's mistake that must not reach a user: the daemon does not start with it. */
export function checkDeclared({ method, path, needs }: Route): void {
  if (!isNeeds(needs)) throw new Error(words.theRouteDoesNot(method.toUpperCase(), path));
}
