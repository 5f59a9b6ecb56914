import type { JobNote, JobPhoto, JobStory } from './record.ts';

/** A note is a paragraph or two; a job has some tens of notes and photos. */
export const MAX_NOTE_TEXT = 4000;
export const MOST_NOTES = 2000;
export const MOST_PHOTOS = 200;
export const MAX_CAPTION = 200;

export const NO_STORY: JobStory = { notes: [], photos: [], closed: null, archived: null };

/** Name of a photo's file: never a way out of the folder, never an ending that a browser runs. */
const PHOTO_NAME = /^photo-[A-Za-z0-9_-]{1,110}\.(jpg|png|webp)$/;

export function isPhotoName(name: string): boolean {
  return PHOTO_NAME.test(name);
}

/** What an older, copied or edited job.json holds: entries that cannot be used are left out. */
export function readStory(given: Readonly<Record<string, unknown>>): JobStory {
  return {
    notes: list(given['notes'], MOST_NOTES).flatMap(readNote),
    photos: list(given['photos'], MOST_PHOTOS).flatMap(readPhoto),
    closed: readTime(given['closed']),
    archived: readTime(given['archived']),
  };
}

function readNote({ at, text, removed }: Fields): JobNote[] {
  const time = readTime(at);
  return time === null || typeof text !== 'string' || text === '' ? [] : [{ at: time, text: text.slice(0, MAX_NOTE_TEXT), removed: removed === true }];
}

function readPhoto({ id, at, caption, width_px: widthPx, height_px: heightPx, removed }: Fields): JobPhoto[] {
  const time = readTime(at);
  if (typeof id !== 'string' || !isPhotoName(id) || time === null || !isCount(widthPx) || !isCount(heightPx)) return [];
  return [{ id, at: time, caption: typeof caption === 'string' ? caption.slice(0, MAX_CAPTION) : '', width_px: widthPx, height_px: heightPx, removed: removed === true }];
}

type Fields = Readonly<Record<string, unknown>>;

function list(value: unknown, most: number): Fields[] {
  return Array.isArray(value) ? value.slice(0, most).filter((entry): entry is Fields => typeof entry === 'object' && entry !== null) : [];
}

function readTime(value: unknown): string | null {
  return typeof value === 'string' && /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/.test(value) ? value : null;
}

function isCount(value: unknown): value is number {
  return Number.isInteger(value) && (value as number) > 0;
}
