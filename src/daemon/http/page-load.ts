/** 50 small messages a second: a person's hand and a page's own stay far below this. Long ones and ones that are not understood count for more, for they cost more. */
const MOST_WORK_PER_BEAT = 1000;
const BYTES_PER_WORK = 2000;
export const WORK_OF_A_REFUSAL = 2;

/** One page whose messages are counted. */
export interface Counted {
  /** what its messages have cost since the last beat; a short one that is understood is 1 */
  work: number;
  /** who sends, by key and address; null until it has joined */
  noise: string | null;
}

/** The cost of a message by its length alone: known before anything reads it. */
export function workOf(bytes: number): number {
  return 1 + bytes / BYTES_PER_WORK;
}

/**
 * Counts what pages cost by their sender, whatever number of pages it has open: ten pages of one tablet may send as much as one. Over the
 * bound the loudest page of that sender goes, and it may not come back before the next beat.
 */
export class PageLoad<Page extends Counted> {
  readonly #pages: Iterable<Page>;
  /** who has sent too much since the last beat: joining again at once would start the count anew */
  readonly #noisy = new Set<string>();

  constructor(pages: Iterable<Page>) {
    this.#pages = pages;
  }

  /** Adds work to a page; the answer is the page that has to go, if one has. */
  add(page: Page, work: number): Page | null {
    page.work += work;
    if (page.work > MOST_WORK_PER_BEAT) return page;
    const { noise } = page;
    if (noise === null) return null;
    let sum = 0;
    let loudest = page;
    for (const other of this.#pages) {
      if (other.noise !== noise) continue;
      sum += other.work;
      if (other.work > loudest.work) loudest = other;
    }
    return sum > MOST_WORK_PER_BEAT ? loudest : null;
  }

  /** Remembers whose page had to go. */
  shut(page: Page): void {
    if (page.noise !== null) this.#noisy.add(page.noise);
    page.noise = null;
  }

  isNoisy(noise: string): boolean {
    return this.#noisy.has(noise);
  }

  /** everybody begins anew */
  beat(): void {
    this.#noisy.clear();
    for (const page of this.#pages) page.work = 0;
  }
}
