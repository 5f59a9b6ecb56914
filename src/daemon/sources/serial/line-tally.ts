/** So much of the past is counted, s: long enough that one damaged line is not called a bad cable, short enough that a mended one is seen at once. Common practice, no published source. */
const TALLY_S = 10;

export interface LineShare {
  readonly linesPerS: number;
  /** part of them that was no reading or had a wrong checksum, 0 to 1 */
  readonly damagedPart: number;
}

/** Lines of the last seconds, good and damaged, by whole seconds. */
export class LineTally {
  readonly #lines = new Float64Array(TALLY_S);
  readonly #damaged = new Float64Array(TALLY_S);
  #second = -1;
  #sinceS = 0;

  /** The count begins anew: what came at another speed says nothing of this one. */
  begin(nowS: number): void {
    this.#lines.fill(0);
    this.#damaged.fill(0);
    this.#second = Math.floor(nowS);
    this.#sinceS = nowS;
  }

  add(nowS: number, damaged: boolean): void {
    const at = this.#goTo(nowS);
    this.#lines[at]! += 1;
    if (damaged) this.#damaged[at]! += 1;
  }

  /** Null before any line has come in that time. */
  share(nowS: number): LineShare | null {
    this.#goTo(nowS);
    const lines = sum(this.#lines);
    if (lines === 0) return null;
    const overS = Math.min(TALLY_S, Math.max(1, nowS - this.#sinceS));
    return { linesPerS: lines / overS, damagedPart: sum(this.#damaged) / lines };
  }

  #goTo(nowS: number): number {
    const second = Math.floor(nowS);
    if (this.#second < 0) this.begin(nowS);
    for (let passed = Math.max(this.#second + 1, second - TALLY_S + 1); passed <= second; passed += 1) {
      this.#lines[passed % TALLY_S] = 0;
      this.#damaged[passed % TALLY_S] = 0;
    }
    this.#second = Math.max(this.#second, second);
    return this.#second % TALLY_S;
  }
}

function sum(counts: Float64Array): number {
  return counts.reduce((total, count) => total + count, 0);
}
