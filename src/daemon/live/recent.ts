import type { StepChange } from '../../core/analysis/live.ts';
import type { Gap, Mark } from '../../core/trace.ts';

/** Newest gaps and marks kept for pages that are opened later; older ones are in the recordings. */
const KEPT_GAPS = 500;
const KEPT_MARKS = 1000;
const KEPT_RANGES = 1000;

/** The newest gaps, marks and changes of range, in live time. */
export class Recent {
  #gaps: Gap[] = [];
  #marks: Mark[] = [];
  #ranges: StepChange[] = [];

  get gaps(): readonly Gap[] {
    return this.#gaps;
  }

  addRange(change: StepChange): void {
    this.#ranges.push(change);
    if (this.#ranges.length > KEPT_RANGES) this.#ranges.shift();
  }

  rangesFrom(startS: number): StepChange[] {
    return this.#ranges.filter((change) => change.atS >= startS);
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
