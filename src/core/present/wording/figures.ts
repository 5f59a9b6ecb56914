import type { Actuation, ActuationResult, AnalysisResult, DrainResult, Inrush } from '../../analysis/results.ts';
import type { UncertaintyPart } from '../../analysis/uncertainty/parts.ts';
import { peakWords, runWords, stallWords, type FigureText } from './actuation-words.ts';
import { currentAndBounds, decimal, formatCurrent, formatDuration, language, significant } from '../language.ts';

const words = language.figures.figures;

/** One figure that proves the finding. */
interface Figure {
  readonly label: string;
  readonly value: string;
  /** its uncertainty, or what it is compared with; empty when there is none */
  readonly beside: string;
  /** where its uncertainty comes from; absent where that is not known */
  readonly parts?: FigureParts;
}

export interface FigureParts {
  readonly unit: 'A' | 'ohm';
  /** what is beside the figure are these parts' own bounds */
  readonly beside?: true;
  readonly parts: readonly UncertaintyPart[];
}

/** The two or three figures that carry the finding; empty when nothing was seen yet. */
export function provingFigures(result: AnalysisResult): Figure[] {
  return result.test === 'actuation' ? actuationFigures(result) : drainFigures(result);
}

/**
 * The actuation a reader should look at: of those with the verdict's own finding the one that stood still longest (the last of equals),
 * else the last one. A recording that stops in mid-stall ends with a short one, which would prove little.
 */
export function tellingActuation(result: ActuationResult): Actuation | null {
  const list = result.actuations;
  const telling = list.filter(({ finding }) => finding === result.verdict.finding);
  if (telling.length === 0) return list[list.length - 1] ?? null;
  return telling.reduce((best, next) => (stalledS(next) >= stalledS(best) ? next : best));
}

function stalledS({ stalls }: Actuation): number {
  return stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0);
}

const { labels } = language.press;

function actuationFigures(result: ActuationResult): Figure[] {
  const one = tellingActuation(result);
  const figures: Figure[] = [];
  if (one === null) {
    return [{ label: labels.rest, value: formatCurrent(result.baseline.current_a), beside: language.press.noise(formatCurrent(result.baseline.noise_a)) }];
  }
  const stall = one.stalls.reduce<Actuation['stalls'][number] | null>((worst, next) => (worst === null || next.level_a > worst.level_a ? next : worst), null);
  if (stall !== null) figures.push({ label: labels.stall, ...labelled(stallWords(stall)), ...partsOfFigure('A', stall.uncertainty) });
  if (one.run !== null) figures.push({ label: labels.run, ...(one.run.at_least === true ? labelled(runWords(one.run)) : withBounds(one.run.median_a, one.run.low_a, one.run.high_a, one.run.uncertainty)) });
  if (one.dropouts.length > 0) {
    const lostS = one.dropouts.reduce((sum, gap) => sum + gap.end_s - gap.start_s, 0);
    figures.push({ label: labels.contactLost, value: `${one.dropouts.length} ×`, beside: language.press.inAll(formatDuration(lostS)) });
  }
  const { bad_commutation: bad } = one;
  if (bad !== undefined) figures.push({ label: labels.badSegment, value: formatCurrent(bad.depth_a), beside: language.press.ofRun(`${significant(bad.share * 100, 2)} %`) });
  if (one.supply !== null && (result.verdict.finding === 'starved' || figures.length < 2)) {
    const { source_ohm, low_ohm, high_ohm } = one.supply;
    figures.push({ label: labels.feed, value: ohms(source_ohm), beside: language.press.range(ohms(low_ohm), ohms(high_ohm)), ...partsOfFigure('ohm', one.supply.uncertainty, true) });
  }
  if (one.inrush !== null && figures.length < 3) figures.push({ label: labels.inrush, ...peakFigure(one.inrush), ...partsOfFigure('A', one.inrush.uncertainty) });
  return figures.slice(0, 3);
}

/** The card is narrow: beside a bound is the other one, or nothing. */
function peakFigure(inrush: Inrush): Pick<Figure, 'value' | 'beside'> {
  const { figure, beside } = peakWords(inrush);
  if (inrush.low_peak_a === undefined) return { value: figure, beside };
  return { value: figure, beside: typeof inrush.high_peak_a === 'number' ? language.press.atMost(formatCurrent(inrush.high_peak_a)) : '' };
}

function labelled({ figure, beside }: FigureText): Pick<Figure, 'value' | 'beside'> {
  return { value: figure, beside };
}

function drainFigures(result: DrainResult): Figure[] {
  const figures: Figure[] = [];
  if (result.asleep !== null) {
    const { level_a, low_a, high_a } = result.asleep;
    // at rest over the limit is the drain itself, and no sleep
    figures.push({ label: result.over_limit === true ? words.settledAt : words.asleep, ...withBounds(level_a, low_a, high_a, result.asleep.uncertainty) });
    figures.push({ label: words.average, value: formatCurrent(result.average_a), beside: words.ahADay(significant(result.charge_ah_per_day, 3)) });
  } else if (result.held != null) {
    // above the limit, and it may still fall
    const { level_a, low_a, high_a } = result.held;
    figures.push({ label: words.heldSoFar, ...withBounds(level_a, low_a, high_a, result.held.uncertainty) });
  } else {
    const last = result.levels[result.levels.length - 1];
    if (last !== undefined) figures.push({ label: words.levelNow, ...withBounds(last.mean_a, last.low_a, last.high_a, undefined) });
  }
  const carrying = result.pulls.filter((pull) => pull.carries === true).sort((a, b) => a.change_a - b.change_a)[0];
  if (carrying !== undefined) figures.push({ label: words.fuse(carrying.label), ...withBounds(-carrying.change_a, -carrying.high_a, -carrying.low_a, carrying.uncertainty) });
  else if (result.wakeups.length > 0) figures.push({ label: words.wakeUps, value: String(result.wakeups.length), beside: result.wake_period_s === null ? words.noSteadyPeriod : words.every(formatDuration(result.wake_period_s)) });
  else if (result.battery !== null) figures.push({ label: words.batteryToHalf, value: words.days(significant(result.battery.days_to_half, 2)), beside: `${significant(result.battery.capacity_ah, 3)} Ah` });
  return figures.slice(0, 3);
}

function partsOfFigure(unit: FigureParts['unit'], parts: readonly UncertaintyPart[] | undefined, beside = false): Pick<Figure, 'parts'> {
  return parts === undefined || parts.length === 0 ? {} : { parts: { unit, parts, ...(beside ? { beside } : {}) } };
}

/** A current with its bounds beside it. */
function withBounds(valueA: number, lowA: number, highA: number, parts: readonly UncertaintyPart[] | undefined): Omit<Figure, 'label'> {
  return { value: formatCurrent(valueA), beside: boundsAlone(valueA, lowA, highA), ...partsOfFigure('A', parts, true) };
}

/**
 * The half-width beside a figure as it is written, at the figure's own last place and never finer: `± 0.1 A` beside 14.0 A, of which a few milliamps more or less
 * do not show. Rounded up, as an uncertainty should be (JCGM 100:2008, 7.2.6).
 */
export function plusMinus(figure: string, halfWidth: number, unit: FigureParts['unit']): string {
  const [, behind = '', shown = ''] = /\d+(?:[.,](\d+))? (m?[AΩ])/.exec(figure) ?? [];
  if (shown === '') return `± ${unit === 'A' ? formatCurrent(halfWidth) : ohms(halfWidth)}`;
  const decimals = behind.length;
  const places = 10 ** decimals;
  const steps = Math.max(1, Math.ceil(halfWidth * (shown.startsWith('m') ? 1000 : 1) * places - ROUNDING_SLACK));
  return `± ${decimal(steps / places, decimals)} ${shown}`;
}

/** A product that should be whole may be a little more in a float64. */
const ROUNDING_SLACK = 1e-6;

/** Whether bounds of a current are given though nobody has said how far the sensor's scale is off: then they hold for what it read. */
export function withoutScale(figures: readonly Figure[]): boolean {
  return figures.some(({ parts }) => parts?.unit === 'A' && !parts.parts.some(({ source }) => source === 'gain'));
}

/** `4.21 to 4.33 A`: the bounds alone, in the unit that formatCurrentBounds chooses. */
function boundsAlone(valueA: number, lowA: number, highA: number): string {
  const { bounds, unit } = currentAndBounds(valueA, lowA, highA);
  return `${bounds} ${unit}`;
}

export function ohms(valueOhm: number): string {
  return Math.abs(valueOhm) < 1 ? `${significant(valueOhm * 1000, 3)} mΩ` : `${significant(valueOhm, 3)} Ω`;
}
