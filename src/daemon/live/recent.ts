import type { Gap, Mark } from '../../core/trace.ts';

/** Newest gaps and marks kept for pages that are opened later; older ones are in the recordings. */
const KEPT_GAPS = 500;
const KEPT_MARKS = 1000;

/** The newest gaps and marks, in live time. */
export class Recent {
  #gaps: Gap[] = [];
  #marks: Mark[] = [];

  get gaps(): readonly Gap[] {
    return this.#gaps;
  }

  get marks(): readonly Mark[] {
    return this.#marks;
  }

  addGap(gap: Gap): void {
    this.#gaps.push(gap);
    if (this.#gaps.length > KEPT_GAPS) this.#gaps.shift();
  }

  addMark(mark: Mark): void {
    this.#marks.push(mark);
    if (this.#marks.length > KEPT_MARKS) this.#marks.shift();
  }

  clearMarks(): void {
    this.#marks = [];
  }

  gapsFrom(startS: number): Gap[] {
    return this.#gaps.filter((gap) => gap.startS >= startS);
  }

  marksFrom(startS: number): Mark[] {
    return this.#marks.filter((mark) => mark.timeS >= startS);
  }
}
