import type { Actuation, ActuationResult } from '../core/analysis/results.ts';
import { commutationWords, fuseWords, peakWords } from '../core/present/wording/actuation-words.ts';
import { presentVerdict } from './present-verdict.ts';
import { textTable } from './table.ts';
import { decimal, formatCurrent, formatDuration, language, significant } from '../core/present/language.ts';

const words = language.cli.results.presentActuation;
const { names } = language;

/** An actuation result for people: the verdict first, then one line an actuation, then what to know about the trace. */
export function presentActuation(result: ActuationResult): string {
  let text = presentVerdict(result.verdict);
  if (result.actuations.length > 0) {
    text += `\n${textTable([words.startS, words.length, words.way, words.inrushA, words.runA, words.low, words.high, words.stallA, words.rippleHz, words.sourceOhm, words.finding], result.actuations.map(row))}`;
    text += workedOut(result.actuations);
  }
  for (const flag of result.flags) {
    text += words.pastSToSPeak(formatCurrent(flag.limit_a), decimal(flag.start_s, 3), decimal(flag.end_s, 3), formatCurrent(flag.peak_a));
  }
  const { samples, duration_s: durationS, rate_hz: rateHz } = result.trace;
  text += words.samplesOverAtHz(samples, formatDuration(durationS), significant(rateHz, 4));
  text += words.restNoise(formatCurrent(result.baseline.current_a), formatCurrent(result.baseline.noise_a));
  for (const problem of result.problems) text += language.cli.results.presentVerdict.note(problem.text);
  return text;
}

function row(actuation: Actuation): string[] {
  const { inrush, run, ripple, supply, stalls } = actuation;
  const figure = (value: number | undefined, figures = 3): string => (value === undefined ? '-' : significant(value, figures));
  const least = (flagged: boolean | undefined, value: string): string => (flagged === true ? `>= ${value}` : value);
  const bounded = run?.at_least !== true;
  return [
    decimal(actuation.start_s, 3),
    formatDuration(actuation.end_s - actuation.start_s),
    names.ways[actuation.direction],
    least(inrush?.low_peak_a !== undefined, figure(inrush?.peak_a)),
    least(run?.at_least, figure(run?.median_a)),
    bounded ? figure(run?.low_a) : '-',
    bounded ? figure(run?.high_a) : '-',
    stalls.length === 0 ? '-' : stalls.map((stall) => least(stall.at_least, significant(stall.level_a, 3))).join(' '),
    figure(ripple?.frequency_hz, 4),
    figure(supply?.source_ohm),
    names.findings[actuation.finding],
  ];
}

interface Column {
  readonly head: string;
  readonly cell: (actuation: Actuation) => string | null;
}

const within = (value: number, low: number | null, high: number | null): string => (low === null || high === null ? significant(value, 3) : `${significant(value, 3)} (${significant(low, 3)}-${significant(high, 3)})`);
const millis = (value: number | null, low: number | null, high: number | null): string | null => (value === null || low === null || high === null ? null : within(value * 1000, low * 1000, high * 1000));

const COLUMNS: readonly Column[] = [
  { head: words.estStallA, cell: ({ inrush }) => (inrush?.fit == null ? null : within(inrush.fit.standstill_a, inrush.fit.low_standstill_a, inrush.fit.high_standstill_a)) },
  { head: words.timeConstMs, cell: ({ inrush }) => (inrush?.fit == null ? null : millis(inrush.fit.tau_mechanical_s, inrush.fit.low_mechanical_s, inrush.fit.high_mechanical_s)) },
  { head: words.lRMs, cell: ({ inrush }) => (inrush?.fit == null ? null : millis(inrush.fit.tau_electrical_s, inrush.fit.low_electrical_s, inrush.fit.high_electrical_s)) },
  { head: words.turns, cell: ({ travel }) => (travel == null || travel.revolutions === null ? null : within(travel.revolutions, travel.low_revolutions, travel.high_revolutions)) },
  { head: words.ripples, cell: ({ travel }) => (travel == null || travel.revolutions !== null ? null : within(travel.ripples, travel.low_ripples, travel.high_ripples)) },
  { head: words.fuse, cell: (actuation) => fuseWords(actuation)?.figure ?? null },
  { head: 'I2t A2s', cell: ({ fuse }) => (fuse === undefined ? null : significant(fuse.i2t_a2s, 2)) },
  { head: words.wireOfDrop, cell: ({ wire }) => (wire === undefined ? null : within(wire.share * 100, wire.low_share * 100, wire.high_share === null ? null : wire.high_share * 100)) },
  { head: words.badBar, cell: (actuation) => commutationWords(actuation)?.figure ?? null },
];

/** What is worked out from a press, and in words what could not be. */
function workedOut(actuations: readonly Actuation[]): string {
  const columns = COLUMNS.filter(({ cell }) => actuations.some((actuation) => cell(actuation) !== null));
  let text = '';
  if (columns.length > 0) {
    const rows = actuations.map((actuation) => [decimal(actuation.start_s, 3), ...columns.map(({ cell }) => cell(actuation) ?? '-')]);
    text += `\n${textTable([words.startS, ...columns.map(({ head }) => head)], rows)}`;
  }
  for (const { start_s: startS, inrush } of actuations) {
    if (inrush?.low_peak_a !== undefined) {
      const { figure, beside } = peakWords(inrush);
      text += words.switchOnAtSPeak(decimal(startS, 3), figure, beside);
    }
    if (inrush?.fit === null) text += words.switchOnAtS(decimal(startS, 3), inrush.no_fit ?? '');
  }
  return text;
}
