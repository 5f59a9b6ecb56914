import { constants } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.appendFile;

/** A file that only grows. An interface, so that a test can be a disk that is full. */
export interface AppendFile {
  /** rejects with the code TAKEN_OVER, and writes nothing, when somebody else has written to the file meanwhile */
  append(bytes: Uint8Array): Promise<void>;
  /** to the disk, not only to the operating system; rejects when the file is no longer in its folder */
  sync(): Promise<void>;
  /** cuts off what a failed append may have left */
  truncate(bytes: number): Promise<void>;
  close(): Promise<void>;
}

/** The file is no longer as it was left: another program has closed or mended it. */
export const TAKEN_OVER = 'ETAKEN';

/** As 'a', but a named pipe is refused by the system instead of waited for. */
const APPEND = constants.O_APPEND | constants.O_CREAT | constants.O_WRONLY | (constants.O_NONBLOCK ?? 0);

/** The real file. */
export async function openAppend(path: string): Promise<AppendFile> {
  const file = await open(path, APPEND);
  const found = await file.stat();
  let size = found.size;
  return {
    async append(bytes) {
      if ((await file.stat()).size !== size) throw Object.assign(new Error(words.wasChangedByAnotherProgram(path)), { code: TAKEN_OVER });
      try {
        for (let at = 0; at < bytes.length; ) at += (await file.write(bytes, at)).bytesWritten;
        size += bytes.length;
      } catch (error) {
        size = (await file.stat()).size;
        throw error;
      }
    },
    async sync() {
      await file.datasync();
      // an open file takes bytes without complaint after its folder was deleted; they would be lost when it is closed
      if ((await stat(path)).ino !== found.ino) throw Object.assign(new Error(words.anotherFileHasTaken), { code: 'ENOENT' });
    },
    async truncate(bytes) {
      await file.truncate(bytes);
      size = bytes;
    },
    close: () => file.close(),
  };
}
