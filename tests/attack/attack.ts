/** One figure that an attack measured, and what was promised of it. */
export interface Figure {
  readonly what: string;
  readonly value: number;
  readonly unit: string;
  /** for example "0" or "<= 1.5"; absent where it only tells how hard the attack was */
  readonly promise?: string;
  readonly kept?: boolean;
  /** depends on how fast and how busy the machine is: judged by `npm run attack`, not at every test run */
  readonly timed?: boolean;
}

export interface Ground {
  /** how long the attack may take */
  readonly forMs: number;
  readonly random: () => number;
  /** an empty folder, removed afterwards */
  readonly folder: string;
}

export interface Attack {
  readonly name: string;
  /** its part of the whole time; those of all attacks add up to one */
  readonly share: number;
  run(ground: Ground): Promise<Figure[]>;
}

export function must(what: string, value: number, unit: string, promise: string, kept: boolean, timed = false): Figure {
  return { what, value, unit, promise, kept, ...(timed ? { timed } : {}) };
}

export const wait = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
