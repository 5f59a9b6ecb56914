import { alignEdges } from '../../core/analysis/compare/align.ts';
import type { ManyResult } from '../../core/analysis/compare/many/result.ts';
import type { Actuation, ActuationResult, Direction } from '../../core/analysis/results.ts';
import type { ReportInput } from '../../core/report/input.ts';
import { nightCutA } from '../../core/report/compared.ts';
import type { ActuationLine, Line, Nights } from '../../core/wire/prove.ts';
import type { TraceReader } from '../store/samples/reading/trace-reader.ts';
import type { Analysed } from './gather.ts';

/** Seconds around an actuation that an overlay shows. */
const OVERLAY_BEFORE_S = 0.3;
const OVERLAY_AFTER_S = 0.5;
/** Columns of the first pair of a direction, which is large on paper, and of the further ones. */
const FIRST_COLUMNS = 1440;
const FURTHER_COLUMNS = 480;
/** Pairs of one direction; a test of a mechanism cycles it some three to ten times. */
const MOST_PAIRS = 12;
/** Of small multiples, and points across one: it is some 300 pixels wide. */
const MOST_LINES = 64;
const LINE_COLUMNS = 160;

/** Every pair of actuations, by direction and order, each laid on the same switch edge. */
export async function overlaysOf(before: Analysed, after: Analysed): Promise<ReportInput['overlays']> {
  if (before.result.test !== 'actuation' || after.result.test !== 'actuation') return [];
  const overlays: ReportInput['overlays'][number][] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    const first = presses(before.result, direction);
    const second = presses(after.result, direction);
    for (let i = 0; i < Math.min(first.length, second.length, MOST_PAIRS); i++) {
      const columns = i === 0 ? FIRST_COLUMNS : FURTHER_COLUMNS;
      const a = await currentOf(before.reader, first[i]!, columns);
      const b = await currentOf(after.reader, second[i]!, columns);
      const startS = first[i]!.start_s;
      // the shift comes from the edge at full rate: a reduced line has lost the parts of a sample
      const shiftS = alignEdges(await edgeOf(before.reader, first[i]!), startS, await edgeOf(after.reader, second[i]!), second[i]!.start_s);
      overlays.push({
        direction,
        number: i + 1,
        before: { timeS: a.timeS.map((atS) => atS - startS), currentA: a.currentA },
        after: { timeS: b.timeS.map((atS) => atS + shiftS - startS), currentA: b.currentA },
      });
    }
  }
  return overlays;
}

/** Columns of a night on the page. */
const NIGHT_COLUMNS = 480;

/** Two nights, each from the start of its recording; null unless both are drain tests. */
export async function nightsOf(before: Analysed, after: Analysed): Promise<Nights | null> {
  if (before.result.test !== 'drain' || after.result.test !== 'drain') return null;
  const lines: Line[] = [];
  for (const { reader } of [before, after]) {
    const { timeS, currentA } = await reader.window(reader.firstS, reader.lastS, NIGHT_COLUMNS);
    lines.push({ timeS: Array.from(timeS, (atS) => rounded(atS - reader.firstS, 1e3)), currentA: Array.from(currentA, (value) => rounded(value, 1e5)) });
  }
  const limitA = after.result.limit_a;
  return { before: lines[0]!, after: lines[1]!, limitA, cutA: nightCutA([before.result, after.result]) };
}

/** The lines of small multiples, in the order in which the actuations stand out. */
export async function linesOf(result: ManyResult, analysed: readonly Analysed[]): Promise<ActuationLine[]> {
  const lines: ActuationLine[] = [];
  for (const { trace, direction, number, start_s: startS, end_s: endS } of result.actuations.slice(0, MOST_LINES)) {
    const { timeS, currentA } = await currentOf(analysed[trace]!.reader, { start_s: startS, end_s: endS, direction }, LINE_COLUMNS);
    lines.push({ trace, direction, number, timeS: Array.from(timeS, (atS) => rounded(atS - startS, 1e4)), currentA: Array.from(currentA, (value) => rounded(value, 1e4)) });
  }
  return lines;
}

/** Half a press compared with a whole one shows a change that nobody made: what the recording cuts is left out, where whole ones are there. */
function presses(result: ActuationResult, direction: Direction): Actuation[] {
  const all = result.actuations.filter((actuation) => actuation.direction === direction);
  const whole = all.filter(({ cut }) => cut === undefined);
  return whole.length > 0 ? whole : all;
}

type Press = Pick<Actuation, 'start_s' | 'end_s' | 'direction'>;

/** The actuation's current, magnitude, first, least, most and last of each column where it has more samples than that. */
function currentOf(reader: TraceReader, { start_s: startS, end_s: endS, direction }: Press, columns: number): Promise<Stretch> {
  return stretch(reader, startS - OVERLAY_BEFORE_S, endS + OVERLAY_AFTER_S, direction, columns);
}

/** Seconds around the switch edge that the alignment looks at, and columns that keep each of their samples up to 30 kHz. */
const EDGE_BEFORE_S = 0.15;
const EDGE_AFTER_S = 0.35;
const EDGE_COLUMNS = 4096;

function edgeOf(reader: TraceReader, { start_s: startS, direction }: Press): Promise<Stretch> {
  return stretch(reader, startS - EDGE_BEFORE_S, startS + EDGE_AFTER_S, direction, EDGE_COLUMNS);
}

interface Stretch {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
}

async function stretch(reader: TraceReader, fromS: number, toS: number, direction: Direction, columns: number): Promise<Stretch> {
  const { timeS, currentA } = await reader.window(fromS, toS, columns);
  const sign = direction === 'reverse' ? -1 : 1;
  // a window may hold a little more than was asked for; the next actuation is not to be in it
  let start = 0;
  while (start < timeS.length && timeS[start]! < fromS) start++;
  let end = timeS.length;
  while (end > start && timeS[end - 1]! >= toS) end--;
  return { timeS: timeS.slice(start, end), currentA: currentA.slice(start, end).map((value) => sign * value) };
}

export function rounded(value: number, per: number): number {
  return Math.round(value * per) / per;
}
