import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { MARKS_FILE, RECORD_FILE, SAMPLES_FILE } from '../store/files/record-file.ts';
import { openTrace, type TraceReader } from '../store/samples/reading/trace-reader.ts';

/** Traces kept open: the one on the screen, the one it is compared with, and the one that is being recorded. */
const KEPT = 3;

interface Opened {
  readonly path: string;
  readonly reader: TraceReader;
  /** of trace.json and the marks: when they change, the trace is opened anew */
  readonly notes: string;
  samples: string;
}

/**
 * Traces opened for pictures, kept open from one window to the next: opening three days takes a tenth of a second, a window of them some milliseconds. A capture that is being
 * written is followed, not opened anew.
 */
export class OpenTraces {
  /** the one used last is last */
  #opened: Opened[] = [];

  /** The reader is this object's own: the caller does not close it, and asks again next time. Throws StoreError. */
  async reader(path: string): Promise<TraceReader> {
    const notes = `${await stampOf(join(path, RECORD_FILE))} ${await stampOf(join(path, MARKS_FILE))}`;
    const samples = await stampOf(join(path, SAMPLES_FILE));
    const known = this.#opened.find((opened) => opened.path === path);
    if (known !== undefined && known.notes === notes) {
      if (known.samples === samples) return this.#used(known);
      if (await known.reader.follow()) {
        known.samples = samples;
        return this.#used(known);
      }
    }
    await this.forget(path);
    const opened: Opened = { path, reader: await openTrace(path, { growing: true }), notes, samples };
    if (this.#opened.length === KEPT) await this.forget(this.#opened[0]!.path);
    return this.#used(opened);
  }

  /** Closes a trace whose folder is about to be moved or deleted. */
  async forget(path: string): Promise<void> {
    const known = this.#opened.find((opened) => opened.path === path);
    this.#opened = this.#opened.filter((opened) => opened !== known);
    await known?.reader.close();
  }

  /** Lets go of all of them: a removable disk can then be taken out. */
  async forgetAll(): Promise<void> {
    for (const { path } of this.#opened) await this.forget(path);
  }

  #used(opened: Opened): TraceReader {
    this.#opened = [...this.#opened.filter((other) => other !== opened), opened];
    return opened.reader;
  }
}

/** Changes whenever somebody writes to the file or puts another in its place; empty when there is none. */
async function stampOf(path: string): Promise<string> {
  const found = await stat(path, { bigint: true }).catch(() => null);
  return found === null ? '' : `${found.ino}:${found.size}:${found.mtimeNs}`;
}
