import type { ToPage } from '../../core/wire/messages.ts';

export type ControlsView = Extract<ToPage, { type: 'controls' }>;

interface Page {
  readonly id: number;
  readonly name: string;
  /** what became of its question */
  asked: 'no' | 'waiting' | 'declined';
}

interface ControlsParts {
  /** tells one page what now holds for it */
  readonly tell: (pageId: number, view: ControlsView) => void;
  /** a holder who does not answer for so long is taken to have left */
  readonly answerWithinMs: number;
}

/**
 * Which page works the logger. One page holds the controls; the others watch and can ask for them, and the holder hands them over or keeps
 * them. Free controls go to whoever does something first. What is asked and not answered is handed over after a while: a tablet with an empty battery must not
 * keep everybody out.
 */
export class Controls {
  readonly #parts: ControlsParts;
  readonly #pages = new Map<number, Page>();
  #holder: Page | null = null;
  #asking: Page | null = null;
  #timer: NodeJS.Timeout | null = null;

  constructor(parts: ControlsParts) {
    this.#parts = parts;
  }

  /** A page that may change things has joined; the first one holds the controls. */
  join(id: number, name: string): void {
    const page: Page = { id, name, asked: 'no' };
    this.#pages.set(id, page);
    if (this.#holder === null) this.#give(page);
  }

  leave(id: number): void {
    const page = this.#pages.get(id);
    if (page === undefined) return;
    this.#pages.delete(id);
    if (page === this.#asking) this.#settle();
    if (page !== this.#holder) return this.#tellAll();
    const next = this.#asking;
    this.#holder = null;
    if (next !== null) this.#give(next);
    else this.#tellAll();
  }

  /** Whether this page works the logger now; takes the controls where they are free. */
  mayAct(id: number): boolean {
    const page = this.#pages.get(id);
    if (page === undefined) return false;
    if (this.#holder === null) this.#give(page);
    return this.#holder === page;
  }

  /** who holds them, in words; null when nobody does */
  get holderName(): string | null {
    return this.#holder?.name ?? null;
  }

  do(id: number, what: 'take' | 'hand-over' | 'keep'): void {
    const page = this.#pages.get(id);
    if (page === undefined) return;
    if (what === 'take') return this.#ask(page);
    if (page !== this.#holder || this.#asking === null) return;
    const asking = this.#asking;
    if (what === 'hand-over') return this.#give(asking);
    this.#settle();
    asking.asked = 'declined';
    this.#tellAll();
  }

  view(id: number): ControlsView {
    const page = this.#pages.get(id) ?? null;
    const mine = page !== null && page === this.#holder;
    return { type: 'controls', mine, holder: this.#holder?.name ?? null, asked: page?.asked ?? 'no', askedBy: mine ? (this.#asking?.name ?? null) : null };
  }

  close(): void {
    this.#settle();
  }

  #ask(page: Page): void {
    if (page === this.#holder) return;
    if (this.#holder === null) return this.#give(page);
    // one question at a time: the holder cannot hand the same thing to two
    if (this.#asking !== null) return;
    page.asked = 'waiting';
    this.#asking = page;
    this.#timer = setTimeout(() => this.#give(page), this.#parts.answerWithinMs);
    this.#timer.unref();
    this.#tellAll();
  }

  #give(page: Page): void {
    this.#settle();
    page.asked = 'no';
    this.#holder = page;
    this.#tellAll();
  }

  /** The open question is answered. */
  #settle(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    if (this.#asking !== null) this.#asking.asked = 'no';
    this.#asking = null;
  }

  #tellAll(): void {
    for (const id of this.#pages.keys()) this.#parts.tell(id, this.view(id));
  }
}
