import { parseSpec } from '../../sources/spec.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import type { PathFilter } from './without-paths.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.sourceChoice;

/** Sources chosen on this computer that are remembered. */
const MAX_REMEMBERED = 20;
/** A trace of the data folder, as its address names it. */
const TRACE = /^([\w-]{1,120})\/([\w-]{1,120})$/;

interface SourceChoiceParts {
  /** of the command line */
  readonly first: string;
  readonly paths: PathFilter;
  /** the folder of a trace; rejects when there is none */
  readonly pathOf: (ref: TraceRef) => Promise<string>;
}

/**
 * Which sources a page may choose. A device name or a path lets its sender open any file and any port of this computer, so those are
 * taken only from this computer itself. A page on another device may choose what was chosen here before, the virtual vehicle, and
 * `replay:JOB/TRACE` of the data folder.
 */
export class SourceChoice {
  readonly #parts: SourceChoiceParts;
  /** newest last */
  readonly #chosenHere: string[];

  constructor(parts: SourceChoiceParts) {
    this.#parts = parts;
    this.#chosenHere = [parts.first];
  }

  /** The source to open, or why it may not be. */
  async allow(spec: string, local: boolean): Promise<{ readonly spec: string } | { readonly refusal: string }> {
    const stored = await this.#storedTrace(spec);
    if (stored !== null) return { spec: stored };
    if (local) {
      this.#remember(spec);
      return { spec };
    }
    if (spec.startsWith('sim:')) return { spec };
    const known = this.#chosenHere.findLast((chosen) => chosen === spec || this.#parts.paths.sentence(chosen) === spec);
    if (known !== undefined) return { spec: known };
    return { refusal: words.fromAnotherDeviceOnly };
  }

  /** `replay:JOB/TRACE` with the folder of that trace in place of its name; null when there is no such trace. */
  async #storedTrace(spec: string): Promise<string | null> {
    if (!spec.startsWith('replay:')) return null;
    const parsed = parseSpec(spec);
    if (parsed.kind !== 'replay') return null;
    const match = TRACE.exec(parsed.path);
    if (match === null) return null;
    const path = await this.#parts.pathOf({ jobId: match[1]!, traceId: match[2]! }).catch(() => null);
    return path === null ? null : `replay:${path}?speed=${parsed.speed}`;
  }

  #remember(spec: string): void {
    if (this.#chosenHere.includes(spec)) return;
    this.#chosenHere.push(spec);
    if (this.#chosenHere.length > MAX_REMEMBERED) this.#chosenHere.splice(1, 1);
  }
}
