import type { ActuationResult, AnalysisResult, DrainResult } from '../../analysis/results.ts';
import type { Gap, Mark } from '../../trace.ts';
import { peakWords, stallWords } from './actuation-words.ts';
import { formatCurrent, formatDuration, language } from '../language.ts';
import type { SegmentKind } from '../texts/names-texts.ts';

const words = language.figures.ribbon;
const { marks: markNames, segments: names, ways } = language.names;

export type { SegmentKind };

/** A named stretch under the chart. Its word says what it is; colour and shape only repeat it. */
export interface Segment {
  readonly startS: number;
  /** equal to startS for a moment */
  readonly endS: number;
  readonly kind: SegmentKind;
  readonly word: string;
  /** for the pointer, the screen reader and the table: figures of this stretch */
  readonly detail: string;
  readonly lane: Lane;
}

/** 0 = what the analysis saw, 1 = what a person did, 2 = what a person has measured */
export type Lane = 0 | 1 | 2;

export const LANES: readonly Lane[] = [0, 1, 2];

/** All segments of a result, its marks and its gaps, in order of time. `offsetS` is added to the times of the result only. */
export function ribbonSegments(result: AnalysisResult | null, offsetS: number, marks: readonly Mark[], gaps: readonly Gap[], endS: number): Segment[] {
  const segments: Segment[] = [];
  if (result?.test === 'actuation') addActuations(segments, result, offsetS);
  else if (result?.test === 'drain') addDrain(segments, result, offsetS, endS);
  for (const gap of gaps) {
    segments.push({ startS: gap.startS, endS: gap.endS, kind: 'gap', word: names.gap, detail: words.nothingReceivedFor(formatDuration(gap.endS - gap.startS)), lane: 0 });
  }
  addMarks(segments, marks, endS);
  return segments.sort((a, b) => a.startS - b.startS || a.endS - b.endS);
}

function addActuations(segments: Segment[], result: ActuationResult, offsetS: number): void {
  for (const { inrush, run, stalls, dropouts, start_s, direction } of result.actuations) {
    const push = (kind: 'inrush' | 'run' | 'stall' | 'dropout', startS: number, endS: number, detail: string): void => {
      segments.push({ startS: startS + offsetS, endS: endS + offsetS, kind, word: names[kind], detail, lane: 0 });
    };
    if (inrush !== null) {
      push('inrush', start_s, start_s + inrush.settle_s, words.peakOverAfter(ways[direction], peakWords(inrush).figure, formatDuration(inrush.settle_s)));
    }
    if (run !== null) push('run', run.start_s, run.end_s, words.for(ways[direction], run.at_least === true ? words.atLeast : '', formatCurrent(run.median_a), formatDuration(run.end_s - run.start_s)));
    for (const stall of stalls) {
      push('stall', stall.start_s, stall.end_s, words.forOf(ways[direction], stallWords(stall).figure, formatDuration(stall.end_s - stall.start_s), stall.at === 'start' ? words.fromTheStart : words.afterRunning));
    }
    for (const lost of dropouts) push('dropout', lost.start_s, lost.end_s, words.noCurrentForWhile(formatDuration(lost.end_s - lost.start_s)));
  }
  for (const flag of result.flags) {
    segments.push({
      startS: flag.start_s + offsetS, endS: flag.end_s + offsetS, kind: 'flag', word: words.past(formatCurrent(flag.limit_a)),
      detail: words.pastTheLimitOf(formatCurrent(flag.limit_a), formatCurrent(flag.peak_a)), lane: 1,
    });
  }
}

function addDrain(segments: Segment[], result: DrainResult, offsetS: number, endS: number): void {
  const { wakeups, held } = result;
  const asleep = result.asleep ?? (held == null ? null : { at_s: held.since_s, level_a: held.level_a });
  const word = result.asleep === null || result.over_limit === true ? names.settled : names.asleep;
  const startS = offsetS;
  const asleepAtS = asleep === null ? endS : asleep.at_s + offsetS;
  if (asleepAtS > startS) segments.push({ startS, endS: asleepAtS, kind: 'awake', word: names.awake, detail: words.notSettledFor(formatDuration(asleepAtS - startS)), lane: 0 });
  let fromS = asleepAtS;
  for (const wake of wakeups) {
    const wakeStartS = wake.start_s + offsetS;
    if (asleep !== null && wakeStartS > fromS) segments.push(sleeping(fromS, wakeStartS, asleep.level_a, word));
    segments.push({
      startS: wakeStartS, endS: wake.end_s + offsetS, kind: 'wake-up', word: names['wake-up'],
      detail: words.peakFor(formatCurrent(wake.peak_a), formatDuration(wake.end_s - wake.start_s)), lane: 0,
    });
    fromS = Math.max(fromS, wake.end_s + offsetS);
  }
  if (asleep !== null && endS > fromS) segments.push(sleeping(fromS, endS, asleep.level_a, word));
}

function sleeping(startS: number, endS: number, levelA: number, word: string): Segment {
  return { startS, endS, kind: 'asleep', word, detail: `${formatCurrent(levelA)}`, lane: 0 };
}

/** A pull lasts until the same fuse is put back, or to the end; a stretch has its own end; everything else is a moment. */
function addMarks(segments: Segment[], marks: readonly Mark[], endS: number): void {
  marks.forEach((mark, index) => {
    if (mark.kind === 'refit') return;
    if (mark.kind === 'stretch') {
      const stretchEndS = mark.endS ?? mark.timeS;
      segments.push({ startS: mark.timeS, endS: stretchEndS, kind: 'stretch', word: mark.label || language.pages.stretch.unnamed, detail: formatDuration(stretchEndS - mark.timeS), lane: 2 });
      return;
    }
    if (mark.kind !== 'pull') {
      segments.push({ startS: mark.timeS, endS: mark.timeS, kind: 'note', word: mark.label || markNames[mark.kind], detail: words.mark(mark.label || markNames[mark.kind]), lane: 1 });
      return;
    }
    const refit = marks.slice(index + 1).find((later) => later.kind === 'refit' && later.label === mark.label);
    const next = marks.slice(index + 1).find((later) => later.kind === 'pull');
    const until = refit?.timeS ?? next?.timeS ?? Math.max(endS, mark.timeS);
    segments.push({
      startS: mark.timeS, endS: until, kind: 'pulled', word: words.pulled(mark.label),
      detail: refit === undefined ? words.notPutBackIn : words.putBackAfter(formatDuration(until - mark.timeS)), lane: 1,
    });
  });
}
