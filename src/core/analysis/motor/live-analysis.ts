import { lowerBound, type Gap, type Mark, type SampleBlock, type Trace } from '../../trace.ts';
import type { ActuationOptions } from '../options.ts';
import type { LiveAnalysis } from '../live.ts';
import { composeResult } from './compose.ts';
import { foldOld } from './old-sections.ts';
import { readSection, type Section } from './section.ts';
import type { MotorReading } from './reading.ts';
import { SampleWindow } from './sample-window.ts';

/** The window: at most this many samples are kept (32 MiB with a voltage channel); 210 s at 10 kS/s, 35 min at 1 kS/s. */
export const WINDOW_SAMPLES = 2_097_152;

/**
 * Reads a switch-cycle trace, fed block by block: finds every press of the switch, what the motor did in it, and what the whole test shows.
 * Pure and linear in the number of samples. Odd data is reported in `problems`, never thrown. Every `low_…`/`high_…` pair is a 95 % interval;
 * how it was got is said at the function that makes it (run.ts, supply.ts, ripple.ts).
 *
 * When the window is full, the part up to the last idle moment is read for good and only its
 * figures are kept; a press is cut only if it alone fills the window. Where the window fills depends on the number of samples, not on
 * the blocks, so any block sizes give the same result. `windowSamples` is smaller in tests only.
 *
 * With `keptPresses` a test of any length needs no more memory than one of so many presses: those before them are counted
 * (`earlier_actuations`), and the verdict is of the ones that are kept.
 */
export function createLiveMotor(options: ActuationOptions, windowSamples: number = WINDOW_SAMPLES, keptPresses: number = Infinity): LiveAnalysis<MotorReading> {
  const window = new SampleWindow(windowSamples);
  let finished: Section[] = [];
  let earlier = 0;
  let gaps: Gap[] = [];
  const part = (from: number, to: number): Trace => {
    const samples = window.samples(from, to);
    const last = to - from - 1;
    return { ...samples, gaps: last < 0 ? gaps : gaps.filter((gap) => gap.endS <= samples.timeS[last]) };
  };
  const closeWindow = (): void => {
    const whole = part(0, window.length);
    const cut = cutIndex(readSection(whole, options), whole);
    const endS = whole.timeS[cut - 1];
    // one that lies across the cut is told before it
    const told = whole.gaps.filter((gap) => gap.startS <= endS);
    finished.push(readSection({ ...window.samples(0, cut), gaps: told }, options));
    window.drop(cut);
    gaps = gaps.filter((gap) => !told.includes(gap));
    const folded = foldOld(finished, keptPresses);
    finished = folded.sections;
    earlier += folded.presses;
  };
  return {
    push(block: SampleBlock): void {
      let from = 0;
      while (from < block.timeS.length) {
        const to = Math.min(block.timeS.length, from + windowSamples - window.length);
        window.add(block, from, to);
        from = to;
        if (window.length >= windowSamples) closeWindow();
      }
    },
    gap(gap: Gap): void {
      gaps.push(gap);
    },
    mark(_mark: Mark): void {},
    result(): MotorReading {
      const result = composeResult(window.length > 0 || finished.length === 0 ? [...finished, readSection(part(0, window.length), options)] : finished, options);
      return earlier === 0 ? result : { ...result, earlier_actuations: earlier };
    },
  };
}

/** Middle of the last idle moment that leaves more than half of the window behind; the end of the window when there is none. */
export function cutIndex(section: Pick<Section, 'actuations'>, trace: Pick<Trace, 'timeS'>): number {
  const count = trace.timeS.length;
  const edges = [trace.timeS[0], ...section.actuations.flatMap((actuation) => [actuation.start_s, actuation.end_s]), trace.timeS[count - 1]];
  for (let e = edges.length - 2; e >= 0; e -= 2) {
    const index = lowerBound(trace.timeS, (edges[e] + edges[e + 1]) / 2);
    if (edges[e + 1] - edges[e] > 0.1 && index > count / 2) return index;
  }
  return count;
}
