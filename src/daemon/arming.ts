import type { SampleBlock } from '../core/trace.ts';
import type { ArmSettings } from '../core/wire/messages.ts';

type StartOn = ArmSettings['startOn'];

/** Watches for the moment at which an armed recording starts. Fed every sample once; knows no clock but the date handed in. */
export class StartWatch {
  readonly #startOn: StartOn;
  #lastS = Number.NaN;
  #lastA = 0;

  constructor(startOn: StartOn) {
    this.#startOn = startOn;
  }

  /** live time of the sample that starts the recording, null while it has not come */
  samples(block: SampleBlock, now: Date): number | null {
    const { timeS, currentA } = block;
    switch (this.#startOn.kind) {
      case 'now':
        return timeS[0]!;
      case 'time':
        return now.getTime() >= Date.parse(this.#startOn.at) ? timeS[0]! : null;
      case 'mark':
        return null;
      case 'level': {
        const { levelA } = this.#startOn;
        for (let i = 0; i < timeS.length; i++) if (passes(currentA[i]!, levelA)) return timeS[i]!;
        return null;
      }
      case 'slope':
        return this.#slope(block, this.#startOn.slopeAPerS);
    }
  }

  /** whether a mark set now starts the recording */
  mark(): boolean {
    return this.#startOn.kind === 'mark';
  }

  /** Missing time is no slope. */
  gap(): void {
    this.#lastS = Number.NaN;
  }

  #slope({ timeS, currentA }: SampleBlock, slopeAPerS: number): number | null {
    for (let i = 0; i < timeS.length; i++) {
      const slope = (currentA[i]! - this.#lastA) / (timeS[i]! - this.#lastS);
      this.#lastS = timeS[i]!;
      this.#lastA = currentA[i]!;
      // the first sample has none before it: NaN passes nothing
      if (passes(slope, slopeAPerS)) return timeS[i]!;
    }
    return null;
  }
}

/** A bound above zero counts for either direction of the current; one below zero for the reverse direction alone. */
function passes(value: number, bound: number): boolean {
  return bound >= 0 ? Math.abs(value) >= bound : value <= bound;
}

/** What is waited for, in words. */
export function armedText(startOn: StartOn): string {
  switch (startOn.kind) {
    case 'now':
      return 'Armed: starts with the next reading.';
    case 'time':
      return `Armed: starts at ${startOn.at}.`;
    case 'mark':
      return 'Armed: starts at the next mark.';
    case 'level':
      return `Armed: starts when the current passes ${startOn.levelA} A.`;
    case 'slope':
      return `Armed: starts when the current changes by more than ${Math.abs(startOn.slopeAPerS)} A/s.`;
  }
}
