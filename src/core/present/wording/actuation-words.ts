import type { Actuation, Inrush, Run, Stall } from '../../analysis/results.ts';
import { currentAndBounds, formatCurrent, formatDuration, language, significant } from '../language.ts';

/** A figure and what is beside it: its uncertainty, or what it means. */
export interface FigureText {
  readonly figure: string;
  /** empty when there is nothing to say */
  readonly beside: string;
}

const words = language.press;

/** The switch-on peak, "at least" where the sensor's range ended or a slow sensor rounded it off. */
export function peakWords(inrush: Inrush): FigureText {
  const over = words.overAfter(formatDuration(inrush.settle_s));
  if (inrush.peak_at_least === true) return { figure: words.atLeast(formatCurrent(inrush.peak_a)), beside: over };
  if (inrush.low_peak_a === undefined) return { figure: formatCurrent(inrush.peak_a), beside: over };
  const figure = words.atLeast(formatCurrent(inrush.low_peak_a));
  return { figure, beside: typeof inrush.high_peak_a === 'number' ? `${words.atMost(formatCurrent(inrush.high_peak_a))}, ${over}` : over };
}

export function runWords(run: Run): FigureText {
  if (run.at_least === true) return { figure: words.atLeast(formatCurrent(run.median_a)), beside: '' };
  const { figure, bounds } = currentAndBounds(run.median_a, run.low_a, run.high_a);
  return { figure, beside: `(${bounds})` };
}

export function stallWords(stall: Stall): FigureText {
  const level = formatCurrent(stall.level_a);
  return { figure: stall.at_least === true ? words.atLeast(level) : level, beside: words.lasted(formatDuration(stall.end_s - stall.start_s)) };
}

/** What the fit of the switch-on says; the reason where there is none; null where nothing was switched on. */
export function fitWords(inrush: Inrush | null): FigureText | null {
  if (inrush === null || inrush.fit === undefined) return null;
  if (inrush.fit === null) return { figure: words.noFit, beside: inrush.no_fit ?? '' };
  const { fit } = inrush;
  const bounds = words.range(significant(fit.low_standstill_a, 3), `${significant(fit.high_standstill_a, 3)} A`);
  return { figure: words.stallEstimate(`${significant(fit.standstill_a, 3)} A`), beside: words.fit(bounds, milliseconds(fit.tau_mechanical_s), fit.tau_electrical_s === null ? null : milliseconds(fit.tau_electrical_s)) };
}

/** How far it turned: turns where the ripples per revolution are known, ripples otherwise; null where it was not counted. */
export function travelWords({ travel }: Actuation): FigureText | null {
  if (travel === null || travel === undefined) return null;
  const counted = (say: (count: string) => string, value: number, low: number, high: number): FigureText => ({ figure: say(significant(value, 3)), beside: words.range(significant(low, 3), significant(high, 3)) });
  if (travel.revolutions === null) return counted(words.ripples, travel.ripples, travel.low_ripples, travel.high_ripples);
  return counted(words.turns, travel.revolutions, travel.low_revolutions ?? 0, travel.high_revolutions ?? 0);
}

/** What the press asked of the fuse; null when no rating was typed in. */
export function fuseWords({ fuse }: Actuation): FigureText | null {
  if (fuse === undefined) return null;
  const i2t = `I²t ${significant(fuse.i2t_a2s, 2)} A²s`;
  const figure = words.fuse(percent(fuse.share), formatDuration(fuse.lasted_s));
  if (fuse.holds_s === null) return { figure, beside: i2t };
  return { figure, beside: fuse.opens_s === null ? words.fuseHolds(i2t) : words.fuseOpens(formatDuration(fuse.holds_s), formatDuration(fuse.opens_s), i2t) };
}

/** Share of the feed's loss that the typed-in wire explains; null without wire or voltage. */
export function wireWords({ wire }: Actuation): FigureText | null {
  if (wire === undefined) return null;
  const bounds = wire.high_share === null ? percent(wire.low_share) : words.range(String(Math.round(wire.low_share * 100)), percent(wire.high_share));
  return { figure: words.wire(percent(wire.share)), beside: words.wireVolts(bounds, significant(wire.drop_v, 2), significant(wire.sag_v, 2)) };
}

export function commutationWords({ bad_commutation: bad }: Actuation): FigureText | null {
  if (bad === undefined) return null;
  return { figure: words.badSegment(formatCurrent(bad.depth_a)), beside: words.badSegmentOver(`${significant(bad.share * 100, 2)} %`, bad.revolutions) };
}

function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}

function milliseconds(durationS: number): string {
  return `${significant(durationS * 1000, 3)} ms`;
}
