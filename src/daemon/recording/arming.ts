import type { SampleBlock } from '../../core/trace.ts';
import type { ArmSettings } from '../../core/wire/messages.ts';
import { ArmSignal, eachSample } from './arm-signal.ts';
import { formatCurrent, language } from '../../core/present/language.ts';

const words = language.daemon.running.arming;

type StartOn = ArmSettings['startOn'];

/** Before a level counts as passed, the current must have been below it by this share, or by so many standard deviations of its noise; below half of it is enough. */
const BELOW = { share: 0.05, sigmas: 3, atMost: 0.5 } as const;
/**
 * A change counts only when it is larger than so many standard deviations of the difference of two medians of three. 7: normal noise alone passes it once in 10^11 samples, years at
 * 1 kS/s.
 */
const SLOPE_SIGMAS = 7;
/** Standard deviation of the difference of two medians of three normal samples, in those of one sample: sqrt(2 × 0.4487), order statistics of the normal distribution. */
const MEDIANS_SIGMA = 0.947;

/** Watches for the moment at which an armed recording starts. Fed every sample once; knows no clock but the date handed in. */
export class StartWatch {
  readonly #startOn: StartOn;
  readonly #signal = new ArmSignal();
  /** the current has been below the level since arming, so passing it is an event */
  #wasBelow: boolean;
  #above = false;

  constructor(startOn: StartOn) {
    this.#startOn = startOn;
    this.#wasBelow = startOn.kind === 'level' && startOn.evenIfPassed === true;
  }

  /** live time of the sample that starts the recording, null while it has not come */
  samples(block: SampleBlock, now: Date): number | null {
    switch (this.#startOn.kind) {
      case 'now':
        return block.timeS[0]!;
      case 'time':
        return now.getTime() >= Date.parse(this.#startOn.at) ? block.timeS[0]! : null;
      case 'mark':
        return null;
      case 'level':
        return this.#level(block, this.#startOn.levelA);
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
    this.#signal.gap();
  }

  /** What is waited for, in words. */
  get text(): string {
    const startOn = this.#startOn;
    switch (startOn.kind) {
      case 'now':
        return words.armedStartsWithThe;
      case 'time':
        return words.armedStartsAt(startOn.at);
      case 'mark':
        return words.armedStartsAtThe;
      case 'level':
        if (this.#above && !this.#wasBelow) return words.armedTheCurrentIs(formatCurrent(startOn.levelA));
        return words.armedStartsWhenThe(formatCurrent(startOn.levelA));
      case 'slope':
        return words.armedStartsWhenTheCurrent(Math.abs(startOn.slopeAPerS));
    }
  }

  /** The first of three samples whose median has passed the level, from below. A level above zero counts for either direction of the current, one below zero for the reverse direction alone. */
  #level(block: SampleBlock, levelA: number): number | null {
    const signal = this.#signal;
    const limitA = Math.abs(levelA);
    let startS: number | null = null;
    eachSample(block, (timeS, currentA) => {
      signal.push(timeS, levelA >= 0 ? Math.abs(currentA) : -currentA);
      const nowA = signal.levelA;
      if (Number.isNaN(nowA)) return false;
      this.#above = nowA >= limitA;
      if (this.#above && this.#wasBelow) startS = signal.firstPast(limitA);
      else if (nowA < limitA - Math.min(BELOW.atMost * limitA, Math.max(BELOW.share * limitA, BELOW.sigmas * signal.noiseA))) this.#wasBelow = true;
      return startS !== null;
    });
    return startS;
  }

  #slope(block: SampleBlock, slopeAPerS: number): number | null {
    const signal = this.#signal;
    let startS: number | null = null;
    eachSample(block, (timeS, currentA) => {
      signal.push(timeS, currentA);
      const { changeA } = signal;
      // whether it is a change at all is decided by medians against the noise; NaN passes nothing
      if (!signal.knowsNoise || !(Math.abs(changeA) > SLOPE_SIGMAS * MEDIANS_SIGMA * signal.noiseA)) return false;
      const direction = changeA > 0 ? 1 : -1;
      if (slopeAPerS < 0 && direction > 0) return false;
      if (signal.steepest(direction) >= Math.abs(slopeAPerS)) startS = signal.beforeLastS;
      return startS !== null;
    });
    return startS;
  }
}
