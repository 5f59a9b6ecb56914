/** One figure against its goal. */
export interface ScoreRow {
  readonly name: string;
  readonly value: number;
  readonly goal: string;
  readonly met: boolean;
  /** how many cases it rests on */
  readonly count: number;
}

/** Counts of right answers by name. */
export class Tally {
  private readonly counts = new Map<string, { good: number; all: number }>();

  add(name: string, good: boolean): void {
    const entry = this.counts.get(name) ?? { good: 0, all: 0 };
    if (good) entry.good++;
    entry.all++;
    this.counts.set(name, entry);
  }

  /** share of right answers; 1 without any */
  share(name: string): number {
    const { good, all } = this.counts.get(name) ?? { good: 0, all: 0 };
    return all === 0 ? 1 : good / all;
  }

  count(name: string): number {
    return this.counts.get(name)?.all ?? 0;
  }

  row(name: string, label: string, goal: number): ScoreRow {
    const value = this.share(name);
    return { name: label, value, goal: `>= ${goal}`, met: value >= goal, count: this.count(name) };
  }
}
