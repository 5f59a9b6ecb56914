import { closeSync, constants, fstatSync, openSync } from 'node:fs';
import { open, type FileHandle } from 'node:fs/promises';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.plainFile;

/** A named pipe that nobody writes to would hold up whoever opens it for ever; so it is opened without waiting, and then refused. Windows has no such flag and no such pipes. */
const READ_WITHOUT_WAITING = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** Opens a file for reading. Pipes, devices and folders are refused with an error of the system's form. */
export function openPlainSync(path: string): number {
  const fd = openSync(path, READ_WITHOUT_WAITING);
  if (fstatSync(fd).isFile()) return fd;
  closeSync(fd);
  throw notPlain(path);
}

export async function openPlain(path: string): Promise<FileHandle> {
  const file = await open(path, READ_WITHOUT_WAITING);
  if ((await file.stat()).isFile()) return file;
  await file.close();
  throw notPlain(path);
}

/** `code` as of an operating system that has one for it. */
export const NOT_PLAIN = 'ENOTFILE';

function notPlain(path: string): Error {
  return Object.assign(new Error(words.isAPipeOr(path)), { code: NOT_PLAIN });
}
