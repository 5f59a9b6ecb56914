import { TAKEN_OVER, type AppendFile } from '../../files/append-file.ts';

/**
 * Appends batches in one write. Where the disk does not take all of them, it is asked for one after the other, so that what it still takes is kept; the first it refuses is thrown. `taken` learns
 * of the batches `[from, to)` as soon as they are in the file, which was `bytesBefore` long.
 */
export async function appendBatches(file: AppendFile, batches: readonly Uint8Array[], bytesBefore: number, taken: (from: number, to: number) => Promise<void>): Promise<void> {
  if (batches.length > 1 && (await isAppended(file, Buffer.concat(batches), bytesBefore))) return taken(0, batches.length);
  for (const [k, batch] of batches.entries()) {
    await file.append(batch);
    await taken(k, k + 1);
  }
}

async function isAppended(file: AppendFile, bytes: Uint8Array, bytesBefore: number): Promise<boolean> {
  try {
    await file.append(bytes);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === TAKEN_OVER) throw error;
    await file.truncate(bytesBefore);
    return false;
  }
}
