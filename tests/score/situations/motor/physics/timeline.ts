import type { Dice } from './dice.ts';

/** One press of the switch. */
export interface Hold {
  readonly fromS: number;
  readonly toS: number;
  readonly polarity: 1 | -1;
  /** both motor leads are laid together when the switch springs back */
  readonly brake: boolean;
}

/** A stretch in which the feed is open although the switch is held. */
export interface Break {
  readonly fromS: number;
  readonly toS: number;
}

export type Contact = 'open' | 'brake' | 'closed';

/** The contact's state over time, asked for in rising order of time. */
export class Timeline {
  private at = 0;
  private broken = 0;
  polarity: 1 | -1 = 1;
  /** seconds since the present hold began */
  sinceS = 0;

  readonly holds: readonly Hold[];
  readonly breaks: readonly Break[];

  constructor(holds: readonly Hold[], breaks: readonly Break[]) {
    this.holds = holds;
    this.breaks = breaks;
  }

  contact(timeS: number): Contact {
    while (this.at < this.holds.length - 1 && timeS >= this.holds[this.at + 1]!.fromS) this.at++;
    const hold = this.holds[this.at];
    if (hold === undefined || timeS < hold.fromS) return 'open';
    this.sinceS = timeS - hold.fromS;
    this.polarity = hold.polarity;
    if (timeS >= hold.toS) return hold.brake ? 'brake' : 'open';
    while (this.broken < this.breaks.length && timeS >= this.breaks[this.broken]!.toS) this.broken++;
    const gone = this.breaks[this.broken];
    return gone !== undefined && timeS >= gone.fromS ? 'open' : 'closed';
  }
}

/** Contacts bounce when they close: a few openings of a fraction of a millisecond, over within some milliseconds (common practice). */
export function bounces(dice: Dice, holds: readonly Hold[], chance = 0.5): Break[] {
  const all: Break[] = [];
  for (const hold of holds) {
    if (!dice.chance(chance)) continue;
    let atS = hold.fromS + dice.between(0.0002, 0.0012);
    for (let left = dice.whole(1, 4); left > 0; left--) {
      const openS = dice.between(0.0001, 0.0006);
      all.push({ fromS: atS, toS: atS + openS });
      atS += openS + dice.between(0.0002, 0.001);
    }
  }
  return all;
}

export function inOrder(breaks: readonly Break[]): Break[] {
  return [...breaks].sort((left, right) => left.fromS - right.fromS);
}
