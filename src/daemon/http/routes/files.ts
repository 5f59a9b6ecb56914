import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { SAMPLE_FORMATS } from '../../../core/tracefile/formats.ts';
import { fileNameOf } from '../../../core/tracefile/file-name.ts';
import { parseColumns, type ColumnSpec } from '../../../core/decode/columns.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import { fileSent, progressOf, requestSignal, accepted, traceRef, type ApiContext } from './api-context.ts';
import { RequestError } from '../../errors.ts';
import { inTurn } from '../../store/files/progress.ts';
import type { Request, Response } from '../http-kit.ts';
import { holderOf } from '../door/door.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import { asRequestErrorOfCall } from '../store-status.ts';
import { limitBytes, MAX_IMPORT_BYTES, namedByPerson, withScratch } from './uploads.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.files;

/** Traces as files: out as CSV, Arrow, Parquet or zip, in as CSV, Arrow or zip. */
export function fileRoutes(context: ApiContext): readonly Route[] {
  const { store, work, scratchDir } = context;
  const routes = new RouteList();
  const exports = new RunningExports();

  for (const ending of SAMPLE_FORMATS) {
    routes.get(`/traces/:job/:trace/export.${ending}`, 'view', async (request: Request, response: Response) => {
      const ref = traceRef(request);
      const from = await store.path(ref);
      const progress = progressOf(context, ref, 'export');
      await exports.run(runKey(response, ref), requestSignal(response), (signal) =>
        withScratch(scratchDir, async (folder) => {
          const to = join(folder, `trace.${ending}`);
          await work.run({ do: 'convert', from, to }, { progress, signal });
          const name = `${fileNameOf(await store.record(ref))}.${ending}`;
          await fileSent(response, (done) => response.download(to, name, { dotfiles: 'allow' }, done));
        }),
      ).finally(() => progress(1));
    });
  }

  routes.get('/traces/:job/:trace/export.zip', 'view', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const progress = progressOf(context, ref, 'export');
    await exports.run(runKey(response, ref), requestSignal(response), async (signal) => {
      const parts = await store.exportZip(ref, { signal, progress });
      response.attachment(`${fileNameOf(await store.record(ref))}.zip`);
      await pipeline(Readable.from(parts, { objectMode: false }), response);
    }).finally(() => progress(1));
  });

  // the browser itself saves a file and cannot be told to give up one that has not begun: the page asks here
  routes.post('/traces/:job/:trace/export/cancel', 'view', (request: Request, response: Response) => {
    response.json({ cancelled: exports.cancel(runKey(response, traceRef(request))) });
  });

  routes.get('/jobs/:job/export.zip', 'view', async (request: Request, response: Response) => {
    const jobId = accepted(check.id(request.params['job']));
    const parts = await store.exportJobZip(jobId, { signal: requestSignal(response), progress: progressOf(context, { jobId, traceId: '' }, 'export') });
    response.attachment(`${jobId}.zip`);
    await pipeline(Readable.from(parts, { objectMode: false }), response);
  });

  routes.post('/import', 'operate', async (request: Request, response: Response) => {
    const name = String(request.query['name'] ?? '').slice(0, 200);
    const ending = /\.(csv|txt|tsv|arrows|zip)$/i.exec(name)?.[0];
    if (ending === undefined) throw new RequestError(415, 'wrong-format', words.aFileToImport);
    const options = importOptions(request);
    const signal = requestSignal(response);
    // each page that brings a file in hears of its own
    const upload = request.query['upload'] === undefined ? '' : accepted(check.id(request.query['upload']));
    const next = inTurn(progressOf(context, { jobId: '', traceId: upload }, 'import'), 2);
    const record = await withScratch(scratchDir, async (folder) => {
      const path = join(folder, `upload${ending.toLowerCase()}`);
      const received = next();
      const size = Number(request.headers['content-length'] ?? Infinity);
      await pipeline(request, limitBytes(MAX_IMPORT_BYTES, words.aFileToImportHas(MAX_IMPORT_BYTES), (bytes) => received(bytes / size)), createWriteStream(path));
      const progress = next();
      const refs = await store.importFile(path, name, { ...options, signal, progress }).catch((error: unknown) => Promise.reject(namedByPerson(error, path, name)));
      return store.record(refs[0]!);
    }).catch((error: unknown) => Promise.reject(asRequestErrorOfCall(error, words.takeIn(name)) ?? error));
    response.json(record);
  }, 'file');
  return routes.all;
}

/** A page gives up its own exports, not those of another device. */
function runKey(response: Response, { jobId, traceId }: TraceRef): string {
  return `${holderOf(response).id}/${jobId}/${traceId}`;
}

/** Exports that run, by device and trace. */
class RunningExports {
  readonly #running = new Map<string, Set<AbortController>>();

  async run<T>(key: string, signal: AbortSignal, work: (signal: AbortSignal) => Promise<T>): Promise<T> {
    const stopper = new AbortController();
    const those = this.#running.get(key) ?? new Set();
    this.#running.set(key, those.add(stopper));
    try {
      return await work(AbortSignal.any([signal, stopper.signal]));
    } finally {
      those.delete(stopper);
      if (those.size === 0) this.#running.delete(key);
    }
  }

  /** how many were cancelled */
  cancel(key: string): number {
    const those = [...(this.#running.get(key) ?? [])];
    for (const stopper of those) stopper.abort();
    return those.length;
  }
}

/** How to read other people's CSV: `columns`, `rate`, `skip-bad` as on the command line, and the job it belongs to. */
function importOptions({ query }: Request): { columns?: readonly ColumnSpec[]; rateHz?: number; skipBad?: boolean; jobId?: string } {
  const options: ReturnType<typeof importOptions> = {};
  if (typeof query['columns'] === 'string') {
    const columns = parseColumns(query['columns']);
    if (!columns.ok) throw new RequestError(400, 'bad-request', columns.text);
    options.columns = columns.columns;
  }
  if (query['rate'] !== undefined) {
    const rateHz = Number(query['rate']);
    if (!(rateHz > 0 && rateHz <= 1e7)) throw new RequestError(400, 'bad-request', words.rateANumberOf);
    options.rateHz = rateHz;
  }
  if (query['skip-bad'] !== undefined) options.skipBad = true;
  if (query['job'] !== undefined) options.jobId = accepted(check.id(query['job']));
  return options;
}
