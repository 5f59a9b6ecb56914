import { createWriteStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { parseColumns, type ColumnSpec } from '../core/decode/columns.ts';
import { progressOf, requestSignal, take, traceRef, type ApiContext } from './api-context.ts';
import { RequestError } from './errors.ts';
import { Router, type Request, type Response } from './http-kit.ts';
import { StoreError } from './store/store-error.ts';
import { check } from './wire-check.ts';

/** Three days at 1 kHz as CSV are about 8 GB; more is no recording of ours. */
const MAX_IMPORT_BYTES = 16 * 2 ** 30;

/** Traces as files: out as CSV, Arrow, Parquet or zip, in as CSV, Arrow or zip. */
export function fileRoutes(context: ApiContext): Router {
  const { store, work, scratchDir } = context;
  const router = Router();

  for (const ending of ['csv', 'arrows', 'parquet'] as const) {
    router.get(`/traces/:job/:trace/export.${ending}`, async (request: Request, response: Response) => {
      const ref = traceRef(request);
      const from = await store.path(ref);
      await withScratch(scratchDir, async (folder) => {
        const to = join(folder, `trace.${ending}`);
        await work.run({ do: 'convert', from, to }, { progress: progressOf(context, ref, 'export'), signal: requestSignal(response) });
        await download(response, to, `${ref.traceId}.${ending}`);
      });
    });
  }

  router.get('/traces/:job/:trace/export.zip', async (request: Request, response: Response) => {
    const ref = traceRef(request);
    const parts = await store.exportZip(ref, { signal: requestSignal(response), progress: progressOf(context, ref, 'export') });
    response.attachment(`${ref.traceId}.zip`);
    await pipeline(Readable.from(parts, { objectMode: false }), response).catch(closedEarly);
  });

  router.get('/jobs/:job/export.zip', async (request: Request, response: Response) => {
    const jobId = take(check.id(request.params['job']));
    const parts = await store.exportJobZip(jobId, { signal: requestSignal(response), progress: progressOf(context, { jobId, traceId: '' }, 'export') });
    response.attachment(`${jobId}.zip`);
    await pipeline(Readable.from(parts, { objectMode: false }), response).catch(closedEarly);
  });

  router.post('/import', async (request: Request, response: Response) => {
    const name = String(request.query['name'] ?? '').slice(0, 200);
    const ending = /\.(csv|txt|tsv|arrows|zip)$/i.exec(name)?.[0];
    if (ending === undefined) throw new RequestError(415, 'wrong-format', 'A file to import ends in .csv, .arrows or .zip.');
    const options = importOptions(request);
    const signal = requestSignal(response);
    const record = await withScratch(scratchDir, async (folder) => {
      const path = join(folder, `upload${ending.toLowerCase()}`);
      await pipeline(request, limitBytes(MAX_IMPORT_BYTES), createWriteStream(path));
      const progress = (fraction: number): void => context.send({ type: 'progress', jobId: '', traceId: '', what: 'import', fraction }, true);
      const refs = await store.importFile(path, name, { ...options, signal, progress }).catch((error: unknown) => Promise.reject(namedByPerson(error, path, name)));
      return store.record(refs[0]!);
    });
    response.json(record);
  });
  return router;
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
    if (!(rateHz > 0 && rateHz <= 1e7)) throw new RequestError(400, 'bad-request', 'rate: a number of samples per second above zero.');
    options.rateHz = rateHz;
  }
  if (query['skip-bad'] !== undefined) options.skipBad = true;
  if (query['job'] !== undefined) options.jobId = take(check.id(query['job']));
  return options;
}

/** The person knows the file by its own name, not by where it lay while it was read. */
function namedByPerson(error: unknown, path: string, name: string): unknown {
  return error instanceof StoreError ? new StoreError(error.code, error.message.replaceAll(path, name)) : error;
}

async function withScratch<T>(scratchDir: string, work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(scratchDir, 'file-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function download(response: Response, path: string, name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    response.download(path, name, { dotfiles: 'allow' }, (error) => {
      if (error === undefined || error === null || response.destroyed) resolve();
      else reject(error);
    });
  });
}

/** A page that gives up a download is no fault. */
function closedEarly(error: unknown): void {
  const { code } = error as { code?: string };
  if (code !== 'ERR_STREAM_PREMATURE_CLOSE' && code !== 'cancelled') throw error;
}

function limitBytes(most: number): Transform {
  let seen = 0;
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      seen += chunk.length;
      if (seen > most) done(new RequestError(413, 'too-large', `A file to import has at most ${most} bytes.`));
      else done(null, chunk);
    },
  });
}
