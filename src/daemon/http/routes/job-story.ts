import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { MAX_CAPTION, MOST_NOTES } from '../../../core/tracefile/job-story.ts';
import type { JobNote, JobRecord } from '../../../core/tracefile/record.ts';
import { RequestError } from '../../errors.ts';
import { addPhoto, changePhoto, findPhoto, MAX_PHOTO_BYTES } from '../../store/records/job-photos.ts';
import { fileSent, requestSignal, accepted, type ApiContext } from './api-context.ts';
import { RouteList, type Route } from '../door/route-list.ts';
import type { Request, Response } from '../http-kit.ts';
import { asRequestErrorOfCall } from '../store-status.ts';
import { limitBytes, MAX_IMPORT_BYTES, namedByPerson, withScratch } from './uploads.ts';
import { check } from '../wire-check.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.jobStory;

/** What people keep with a job beside the measuring: notes with their times, photos; and a whole job as one zip. */
export function jobStoryRoutes({ store, clock, scratchDir, send }: ApiContext): readonly Route[] {
  const routes = new RouteList();
  const answer = (response: Response, body: unknown): void => {
    response.json(body);
    // other pages ask again
    send({ type: 'stored' });
  };
  const jobOf = (request: Request): string => accepted(check.id(request.params['job']));

  routes.post('/jobs/:job/notes', 'operate', async (request: Request, response: Response) => {
    const { text } = accepted(check.newNote(request.body));
    answer(response, await store.jobs.updateStory(jobOf(request), ({ notes }) => ({ notes: [...notes, newNote(notes, text, clock.date())] })));
  });
  routes.put('/jobs/:job/notes', 'operate', async (request: Request, response: Response) => {
    const { at, removed } = accepted(check.noteChange(request.body));
    answer(response, await store.jobs.updateStory(jobOf(request), ({ notes }) => ({ notes: changedNotes(notes, at, removed) })));
  });

  routes.post('/jobs/:job/photos', 'operate', async (request: Request, response: Response) => {
    const jobId = jobOf(request);
    const caption = String(request.query['name'] ?? '').replace(/\.[A-Za-z0-9]{1,5}$/, '').slice(0, MAX_CAPTION);
    const job = await withScratch(scratchDir, async (folder): Promise<JobRecord> => {
      const path = join(folder, 'photo');
      await pipeline(request, limitBytes(MAX_PHOTO_BYTES, words.aPhotoHasAt(MAX_PHOTO_BYTES >> 20)), createWriteStream(path));
      return addPhoto(store.jobs, jobId, path, caption, clock.date());
    }).catch((error: unknown) => Promise.reject(asRequestErrorOfCall(error, words.keepThePhoto) ?? error));
    answer(response, job);
  }, 'file');
  routes.get('/jobs/:job/photos/:photo', 'view', async (request: Request, response: Response) => {
    const { path, kind } = await findPhoto(store.jobs, jobOf(request), accepted(check.photoName(request.params['photo'])));
    // a stranger's bytes: a picture and nothing else, whatever is in them
    response.set({ 'Content-Security-Policy': "default-src 'none'; sandbox", 'X-Content-Type-Options': 'nosniff', 'Content-Disposition': 'inline' });
    response.type(kind.type);
    await fileSent(response, (done) => response.sendFile(path, { dotfiles: 'allow', headers: { 'Content-Type': kind.type }, cacheControl: false }, done));
  });
  routes.put('/jobs/:job/photos/:photo', 'operate', async (request: Request, response: Response) => {
    answer(response, await changePhoto(store.jobs, jobOf(request), accepted(check.photoName(request.params['photo'])), accepted(check.photoChange(request.body))));
  });

  routes.post('/jobs-import', 'operate', async (request: Request, response: Response) => {
    const name = String(request.query['name'] ?? words.theZip).slice(0, 200);
    const signal = requestSignal(response);
    const taken = await withScratch(scratchDir, async (folder) => {
      const path = join(folder, 'job.zip');
      await pipeline(request, limitBytes(MAX_IMPORT_BYTES, words.aFileToImport(MAX_IMPORT_BYTES)), createWriteStream(path));
      const { jobId, refs } = await store.importJob(path, name, { signal }).catch((error: unknown) => Promise.reject(namedByPerson(error, path, name)));
      return { job: await store.jobs.read(jobId), traces: refs.length };
    }).catch((error: unknown) => Promise.reject(asRequestErrorOfCall(error, words.takeIn(name)) ?? error));
    answer(response, taken);
  }, 'file');
  return routes.all;
}

/** No two notes of a job share a time: it is what they are told apart by. */
function newNote(notes: readonly JobNote[], text: string, at: Date): JobNote {
  if (notes.length >= MOST_NOTES) throw new RequestError(413, 'too-large', words.aJobKeepsAt(MOST_NOTES));
  let time = at;
  while (notes.some((note) => note.at === time.toISOString())) time = new Date(time.getTime() + 1);
  return { at: time.toISOString(), text, removed: false };
}

function changedNotes(notes: readonly JobNote[], at: string, removed: boolean): JobNote[] {
  if (!notes.some((note) => note.at === at)) throw new RequestError(404, 'not-found', words.theJobHasNo);
  return notes.map((note) => (note.at === at ? { ...note, removed } : note));
}
