import { markLine, MAX_MARKS } from '../../../../core/tracefile/marks.ts';
import type { Mark } from '../../../../core/trace.ts';
import { openAppend, type AppendFile } from '../../files/append-file.ts';
import { openPlain } from '../../files/plain-file.ts';
import { explainError, StoreError } from '../../files/store-error.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.marksFile;

const LF = 10;
const READ_BYTES = 1 << 16;

/**
 * `marks.jsonl` open for adding marks, each on the disk when `add` returns. A line that a crash or a full disk has torn is ended first: the mark after it gets a line of its own.
 */
export class MarksFile {
  readonly #file: AppendFile;
  #lines: number;
  #torn: boolean;

  private constructor(file: AppendFile, lines: number, torn: boolean) {
    this.#file = file;
    this.#lines = lines;
    this.#torn = torn;
  }

  static async open(path: string, openFile: (path: string) => Promise<AppendFile> = openAppend): Promise<MarksFile> {
    const file = await openFile(path);
    try {
      const { lines, torn } = await lookAt(path);
      return new MarksFile(file, lines, torn);
    } catch (error) {
      await file.close();
      throw error;
    }
  }

  /** Throws StoreError `too-large` when the file holds as many marks as are ever read, and what the disk says. */
  async add(mark: Mark): Promise<void> {
    if (this.#lines >= MAX_MARKS) throw new StoreError('too-large', words.thisTraceHasMarks(MAX_MARKS));
    try {
      const torn = this.#torn;
      this.#torn = true;
      await this.#file.append(new TextEncoder().encode(`${torn ? '\n' : ''}${markLine(mark)}`));
      this.#torn = false;
      this.#lines++;
      await this.#file.sync();
    } catch (error) {
      throw explainError(error, words.writeTheMark);
    }
  }

  close(): Promise<void> {
    return this.#file.close();
  }
}

/** How many lines there are, and whether the last one has no end. */
async function lookAt(path: string): Promise<{ lines: number; torn: boolean }> {
  const file = await openPlain(path);
  try {
    const buffer = new Uint8Array(READ_BYTES);
    let lines = 0;
    let last = LF;
    for (;;) {
      const { bytesRead } = await file.read(buffer, 0, buffer.length);
      if (bytesRead === 0) return { lines, torn: last !== LF };
      for (let at = buffer.indexOf(LF); at >= 0 && at < bytesRead; at = buffer.indexOf(LF, at + 1)) lines++;
      last = buffer[bytesRead - 1]!;
    }
  } finally {
    await file.close();
  }
}
