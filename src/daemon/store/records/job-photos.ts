import { copyFile, open, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { isPhotoName, MAX_CAPTION, MOST_PHOTOS } from '../../../core/tracefile/job-story.ts';
import { photoKind, type PhotoKind } from '../../../core/tracefile/photo-kind.ts';
import type { JobPhoto, JobRecord } from '../../../core/tracefile/record.ts';
import type { Jobs } from './jobs.ts';
import { openPlain } from '../files/plain-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.jobPhotos;

/** A telephone's photo has 3 to 8 MB (common practice, no published source). */
export const MAX_PHOTO_BYTES = 16 << 20;
/** More would cost a page gigabytes to draw, however small the file is; the largest telephones' sensors have 200 million. */
const MAX_PHOTO_PIXELS = 200e6;
/** The size is in the header, which a thumbnail and a profile may push back. */
const HEADER_BYTES = 1 << 20;

/** What a file on disk is by its own bytes; throws StoreError for all that is no photo. */
export async function checkPhoto(path: string, mostBytes = MAX_PHOTO_BYTES): Promise<PhotoKind> {
  const file = await openPlain(path).catch((error: unknown) => Promise.reject(explainError(error, words.readThePhoto)));
  try {
    const { size } = await file.stat();
    if (size > mostBytes) throw new StoreError('too-large', words.aPictureHasAt(mostBytes >> 20));
    const { buffer, bytesRead } = await file.read(Buffer.alloc(Math.min(size, HEADER_BYTES)), 0, Math.min(size, HEADER_BYTES), 0);
    const kind = photoKind(buffer.subarray(0, bytesRead));
    if (kind === null) throw new StoreError('wrong-format', words.thatIsNoPicture);
    if (kind.widthPx * kind.heightPx > MAX_PHOTO_PIXELS) throw new StoreError('too-large', words.thePhotoHasBy(kind.widthPx, kind.heightPx));
    return kind;
  } finally {
    await file.close();
  }
}

export async function isPhoto(path: string): Promise<boolean> {
  return checkPhoto(path).then(() => true, () => false);
}

/** Keeps a photo in the job's folder, under a name that only its content decides. */
export async function addPhoto(jobs: Jobs, jobId: string, upload: string, caption: string, at: Date): Promise<JobRecord> {
  await jobs.check(jobId);
  const kind = await checkPhoto(upload);
  const stamp = at.toISOString().replaceAll(/[:.]/g, '-');
  if ((await jobs.read(jobId)).photos.length >= MOST_PHOTOS) throw new StoreError('too-large', words.aJobKeepsAt(MOST_PHOTOS));
  const id = await keepFile(upload, jobs.path(jobId), stamp, kind.ending);
  const photo: JobPhoto = { id, at: at.toISOString(), caption: caption.slice(0, MAX_CAPTION), width_px: kind.widthPx, height_px: kind.heightPx, removed: false };
  return jobs.updateStory(jobId, ({ photos }) => ({ photos: [...photos, photo] }));
}

async function keepFile(from: string, folder: string, stamp: string, ending: string): Promise<string> {
  for (let count = 1; count <= MOST_PHOTOS; count++) {
    const id = `photo-${stamp}${count === 1 ? '' : `-${count}`}.${ending}`;
    const path = join(folder, id);
    const made = await open(path, 'wx').catch((error: NodeJS.ErrnoException) => {
      if (error.code === 'EEXIST') return null;
      throw explainError(error, words.keepThePhoto);
    });
    if (made === null) continue;
    await made.close();
    try {
      await copyFile(from, path);
    } catch (error) {
      await rm(path, { force: true });
      throw explainError(error, words.keepThePhoto);
    }
    return id;
  }
  throw new StoreError('exists', words.thereAreTooMany);
}

/** Where a photo lies and what it is; asked of its bytes again, since anybody may have changed the file. */
export async function findPhoto(jobs: Jobs, jobId: string, photoId: string): Promise<{ path: string; kind: PhotoKind }> {
  if (!isPhotoName(photoId)) throw new StoreError('bad-name', words.thatIsNotThe);
  await jobs.check(jobId);
  const path = join(jobs.path(jobId), photoId);
  return { path, kind: await checkPhoto(path) };
}

export async function changePhoto(jobs: Jobs, jobId: string, photoId: string, changes: { readonly caption?: string; readonly removed?: boolean }): Promise<JobRecord> {
  return jobs.updateStory(jobId, ({ photos }) => {
    if (!photos.some(({ id }) => id === photoId)) throw new StoreError('not-found', words.theJobHasNo);
    return { photos: photos.map((photo) => (photo.id === photoId ? { ...photo, ...changes } : photo)) };
  });
}
