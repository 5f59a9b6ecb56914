import { MARK_KINDS, type Mark, type MarkKind } from '../trace.ts';
import type { Problem } from '../problems.ts';
import { csvCells, csvDelimiter } from './csv/cells.ts';
import { language } from '../present/language.ts';

const words = language.files.marks;

/** Marks kept of one trace; a person makes dozens, a stranger's file may claim millions. */
export const MAX_MARKS = 10_000;
const MAX_LABEL = 200;
const LISTED = 10;

export interface MarksRead {
  readonly marks: readonly Mark[];
  readonly problems: readonly Problem[];
}

/** One line of `marks.jsonl`. */
export function markLine(mark: Mark): string {
  return `${JSON.stringify({ time_s: mark.timeS, end_s: mark.endS, kind: mark.kind, label: mark.label })}\n`;
}

/** Reads `marks.jsonl`. Lines that cannot be read are problems; the last one may be half written after a crash. */
export function readMarkLines(text: string): MarksRead {
  return collect(text.split('\n'), 0, (line) => {
    const value: unknown = JSON.parse(line);
    if (typeof value !== 'object' || value === null) return words.itIsNotAnObject;
    const { time_s: timeS, end_s: endS, kind, label } = value as { time_s?: unknown; end_s?: unknown; kind?: unknown; label?: unknown };
    return makeMark(timeS, kind ?? 'note', label ?? '', endS);
  });
}

/** Reads marks as CSV: header `time_s,label` or `time_s,label,kind`, and `end_s` for stretches; without a kind a mark is a pulled fuse. Semicolons and quotes as spreadsheets write them. */
export function readMarksCsv(text: string): MarksRead {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  const headerAt = lines.findIndex((line) => line.trim() !== '' && !line.startsWith('#'));
  const delimiter = csvDelimiter(lines[headerAt] ?? '');
  const header = csvCells(lines[headerAt] ?? '', delimiter).map((cell) => cell.toLowerCase());
  const timeAt = header.indexOf('time_s');
  const labelAt = header.indexOf('label');
  const kindAt = header.indexOf('kind');
  const endAt = header.indexOf('end_s');
  if (timeAt < 0 || labelAt < 0) {
    return { marks: [], problems: [{ code: 'bad-mark', text: words.theMarksFileMust }] };
  }
  return collect(lines.slice(headerAt + 1), headerAt + 1, (line) => {
    const row = csvCells(line, delimiter);
    const seconds = (cell: string | undefined): number => (cell === undefined || cell === '' ? Number.NaN : Number(delimiter === ',' ? cell : cell.replace(',', '.')));
    const kind = row[kindAt] ?? '';
    const endS = seconds(row[endAt]);
    return makeMark(seconds(row[timeAt]), kind === '' ? 'pull' : kind, row[labelAt] ?? '', Number.isNaN(endS) ? undefined : endS);
  });
}

/** Checks a mark from outside; a sentence's end when it is none. */
export function makeMark(timeS: unknown, kind: unknown, label: unknown, endS?: unknown): Mark | string {
  if (!isSeconds(timeS)) return words.itsTimeSIs;
  if (!MARK_KINDS.includes(kind as MarkKind)) return words.itsKindIsNoneOf(MARK_KINDS.join(', '));
  if (typeof label !== 'string') return words.itsLabelIsNotText;
  const named = { timeS, kind: kind as MarkKind, label: label.trim().slice(0, MAX_LABEL) };
  // an end beside a moment means nothing
  if (kind !== 'stretch') return named;
  if (!isSeconds(endS) || endS <= timeS) return words.aStretchNeedsAn;
  return { ...named, endS };
}

function isSeconds(value: unknown): value is number {
  return Number.isFinite(value);
}

function collect(lines: readonly string[], before: number, read: (line: string) => Mark | string): MarksRead {
  const marks: Mark[] = [];
  const problems: Problem[] = [];
  for (const [index, line] of lines.entries()) {
    if (line.trim() === '') continue;
    if (marks.length === MAX_MARKS) {
      problems.push({ code: 'bad-mark', text: words.onlyTheFirstMarks(MAX_MARKS) });
      break;
    }
    let mark: Mark | string;
    try {
      mark = read(line);
    } catch {
      mark = words.itIsNotJson;
    }
    if (typeof mark !== 'string') marks.push(mark);
    else if (problems.length < LISTED) problems.push({ code: 'bad-mark', text: words.markInLineIs(before + index + 1, mark) });
  }
  marks.sort((a, b) => a.timeS - b.timeS);
  return { marks, problems };
}
