import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { RequestError } from '../../../src/daemon/errors.ts';
import { builtPages } from '../../../src/daemon/http/app.ts';
import { RouteList } from '../../../src/daemon/http/door/route-list.ts';
import type { Response } from '../../../src/daemon/http/http-kit.ts';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { appBench, settle } from './route-bench.ts';

const words = language.daemon.http.app;

/** An app with one route that does what the test says. */
async function bench() {
  const logged: string[] = [];
  const does: { is: (response: Response) => unknown } = { is: () => undefined };
  const app = await appBench({
    log: (text) => logged.push(text),
    routes: () => {
      const list = new RouteList();
      list.get('/try', 'view', (_request, response) => does.is(response));
      list.post('/try', 'operate', (_request, response) => response.json({}));
      return list.all;
    },
  });
  const fails = async (error: unknown): Promise<unknown[]> => {
    logged.length = 0;
    does.is = () => {
      throw error;
    };
    const { status, body } = await app.ask('GET', '/api/try');
    return [status, body.error.code, body.error.text, logged.length];
  };
  return { ...app, does, logged, fails };
}

describe('what goes wrong in a route', () => {
  it('is answered as what it is, and told at the terminal where the fault is here', async () => {
    const { fails } = await bench();
    const odd = (more: object): Error => Object.assign(new Error('inner words'), more);
    expect(await fails(new RequestError(404, 'not-found', 'It is not there.'))).toEqual([404, 'not-found', 'It is not there.', 0]);
    expect(await fails(new RequestError(499, 'cancelled', 'Given up.'))).toEqual([499, 'cancelled', 'Given up.', 0]);
    expect(await fails(new RequestError(500, 'internal', 'So it is.'))).toEqual([500, 'internal', 'So it is.', 1]);
    expect(await fails(new StoreError('in-use', 'Another has it.'))).toEqual([409, 'in-use', 'Another has it.', 0]);
    expect(await fails(odd({ code: 'ENOSPC', syscall: 'write' }))).toEqual([507, 'disk-full', expect.stringContaining(words.doThis), 1]);
    // words of what is inside go to the terminal alone
    for (const error of [odd({}), odd({ status: 399 }), odd({ status: 500 }), odd({ status: '404' }), odd({ code: 'ENOSPC' }), 'thrown']) expect(await fails(error)).toEqual([500, 'internal', words.somethingWentWrongInside, 1]);
    for (const status of [400, 404, 499]) expect(await fails(odd({ status }))).toEqual([status, 'bad-request', words.theRequestCannotBeRead, 0]);
  });

  it('after the answer has begun ends the connection', async () => {
    const { ask, does, logged } = await bench();
    does.is = (response) => {
      response.write('half');
      throw new Error('inner words');
    };
    await expect(ask('GET', '/api/try')).rejects.toThrow();
    await settle(() => logged.length > 0);
    expect(logged).toEqual([words.aRequestFailed('inner words')]);
  });

  it('with a body too long or not JSON is said so', async () => {
    const { ask } = await bench();
    const send = async (body: string): Promise<unknown[]> => {
      const answer = await ask('POST', '/api/try', body);
      return [answer.status, answer.body.error?.text];
    };
    const padded = (length: number): string => `{"a":"${'x'.repeat(length - 8)}"}`;
    expect([await send(padded(65_536)), await send(padded(65_537)), await send('{')]).toEqual([[200, undefined], [413, words.theBodyIsLarger(65_536)], [400, words.theBodyIsNot]]);
    expect((await ask('POST', '/api/try', {}, { headers: { 'Content-Type': 'Application/JSON; charset=utf-8' } })).status).toBe(200);
    expect((await ask('POST', '/api/try', {}, { headers: { 'Content-Type': undefined } })).status).toBe(415);
  });
});

describe('what leaves the API', () => {
  it('names the data folder and not the way to it, and bytes stay as they are', async () => {
    const { ask, does, dataFolder, fails } = await bench();
    const text = `${dataFolder}/jobs and ${dataFolder}`;
    does.is = (response) => response.type('text').send(text);
    expect((await ask('GET', '/api/try')).bytes.toString()).toBe('jobs and THE DATA FOLDER');
    does.is = (response) => response.json({ text });
    expect((await ask('GET', '/api/try')).body).toEqual({ text: 'jobs and THE DATA FOLDER' });
    does.is = (response) => response.type('application/octet-stream').send(Buffer.from(text));
    expect((await ask('GET', '/api/try')).bytes.toString()).toBe(text);
    expect((await fails(new RequestError(422, 'wrong-format', `${dataFolder}/jobs/x is none`)))[2]).toBe('jobs/x is none');
  });

  it('is kept by no browser; of the pages the built files are, for their name changes with what is in them', async () => {
    const { ask, does } = await bench();
    does.is = (response) => response.json({});
    const kept = async (path: string): Promise<unknown> => (await ask('GET', path)).headers['cache-control'];
    expect([await kept('/api/try'), await kept('/'), await kept('/assets/page-1.js')]).toEqual(['no-store', 'no-cache', 'private, max-age=31536000, immutable']);
  });

  it('is nothing for what is not there, in whatever spelling, with or without a key', async () => {
    const { ask } = await bench();
    for (const path of ['/assets', '/nothing', '/Index.html', '/api']) {
      const { status, body, headers } = await ask('GET', path);
      expect([status, body?.error.code, headers.location], path).toEqual([404, 'not-found', undefined]);
    }
    expect((await ask('GET', '/api/nothing', undefined, { key: 'none' })).status).toBe(401);
    expect((await ask('POST', '/api/try', {}, { key: 'view-key' })).status).toBe(403);
  });
});

describe('the pages', () => {
  it('lie beside what is built, also for a daemon that runs from its sources', () => {
    expect(builtPages()).toBe(join(import.meta.dirname, '../../../dist/web'));
  });
});
