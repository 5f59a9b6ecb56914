import { copyFile, readFile, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Workshop } from '../../../core/report/input.ts';
import { checkPhoto } from './job-photos.ts';
import { readSmallFile, writeJson } from '../files/record-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.workshop;

/** The workshop's own heading for pages it hands over: text in a small JSON file, the logo beside it, both in the data folder. */
const HEADING_FILE = 'workshop.json';
const LOGO_FILE = 'workshop-logo';
/** It goes into every page that is handed over. */
export const MAX_LOGO_BYTES = 1 << 20;
/** Printed at five centimetres no more can be seen. */
const MAX_LOGO_PIXELS = 16e6;
export const MAX_HEADING = 500;

export async function readWorkshop(dataFolder: string): Promise<Workshop> {
  return { heading: await readHeading(dataFolder), logo: await readLogo(dataFolder) };
}

async function readHeading(dataFolder: string): Promise<string> {
  try {
    const value = JSON.parse((await readSmallFile(join(dataFolder, HEADING_FILE))) ?? '{}') as { heading?: unknown };
    return typeof value.heading === 'string' ? value.heading.slice(0, MAX_HEADING) : '';
  } catch {
    // unreadable: pages have no heading, which they show
    return '';
  }
}

/** Asked of its bytes each time: anybody may have changed the file. */
async function readLogo(dataFolder: string): Promise<Workshop['logo']> {
  const path = join(dataFolder, LOGO_FILE);
  try {
    const { type } = await checkLogo(path);
    return { type, base64: (await readFile(path)).toString('base64') };
  } catch {
    return null;
  }
}

async function checkLogo(path: string): ReturnType<typeof checkPhoto> {
  const kind = await checkPhoto(path, MAX_LOGO_BYTES);
  if (kind.widthPx * kind.heightPx > MAX_LOGO_PIXELS) throw new StoreError('too-large', words.theLogoHasBy(kind.widthPx, kind.heightPx));
  return kind;
}

export async function writeHeading(dataFolder: string, heading: string): Promise<void> {
  await writeJson(join(dataFolder, HEADING_FILE), { heading }).catch((error: unknown) => Promise.reject(explainError(error, words.keepTheHeading)));
}

/** Puts a logo in the place of the one before. Throws StoreError for all that is no picture. */
export async function keepLogo(dataFolder: string, upload: string): Promise<void> {
  await checkLogo(upload);
  const path = join(dataFolder, LOGO_FILE);
  const part = `${path}.part`;
  try {
    await copyFile(upload, part);
    await rename(part, path);
  } catch (error) {
    throw explainError(error, words.keepTheLogo);
  }
}

export async function removeLogo(dataFolder: string): Promise<void> {
  await rm(join(dataFolder, LOGO_FILE), { force: true }).catch((error: unknown) => Promise.reject(explainError(error, words.removeTheLogo)));
}
