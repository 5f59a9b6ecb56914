import { open, stat } from 'node:fs/promises';

/** A file that only grows. An interface, so that a test can be a disk that is full. */
export interface AppendFile {
  append(bytes: Uint8Array): Promise<void>;
  /** to the disk, not only to the operating system; rejects when the file is no longer in its folder */
  sync(): Promise<void>;
  /** cuts off what a failed append may have left */
  truncate(bytes: number): Promise<void>;
  close(): Promise<void>;
}

/** The real file. */
export async function openAppend(path: string): Promise<AppendFile> {
  const file = await open(path, 'a');
  const { ino } = await file.stat();
  return {
    async append(bytes) {
      for (let at = 0; at < bytes.length; ) at += (await file.write(bytes, at)).bytesWritten;
    },
    async sync() {
      await file.datasync();
      // an open file takes bytes without complaint after its folder was deleted; they would be lost when it is closed
      if ((await stat(path)).ino !== ino) throw Object.assign(new Error('another file has taken its place'), { code: 'ENOENT' });
    },
    truncate: (bytes) => file.truncate(bytes),
    close: () => file.close(),
  };
}
