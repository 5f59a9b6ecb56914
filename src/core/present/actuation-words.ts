import type { Actuation, Inrush, Run, Stall } from '../analysis/results.ts';
import { formatCurrent, formatCurrentBounds, formatDuration, significant } from '../units.ts';

/** A figure and what stands beside it: its uncertainty, or what it means. */
export interface Told {
  readonly figure: string;
  /** empty when there is nothing to say */
  readonly beside: string;
}

/** The switch-on peak, "at least" where the sensor's range ended or a slow sensor rounded it off. */
export function peakWords(inrush: Inrush): Told {
  const over = `over after ${formatDuration(inrush.settle_s)}`;
  if (inrush.peak_at_least === true) return { figure: `at least ${formatCurrent(inrush.peak_a)}`, beside: over };
  if (inrush.low_peak_a === undefined) return { figure: formatCurrent(inrush.peak_a), beside: over };
  const figure = `at least ${formatCurrent(inrush.low_peak_a)}`;
  return { figure, beside: typeof inrush.high_peak_a === 'number' ? `at most ${formatCurrent(inrush.high_peak_a)}, ${over}` : over };
}

export function runWords(run: Run): Told {
  if (run.at_least === true) return { figure: `at least ${formatCurrent(run.median_a)}`, beside: '' };
  const text = formatCurrentBounds(run.median_a, run.low_a, run.high_a);
  const cut = text.indexOf(' (');
  return cut < 0 ? { figure: text, beside: '' } : { figure: text.slice(0, cut), beside: text.slice(cut + 1) };
}

export function stallWords(stall: Stall): Told {
  return { figure: `${stall.at_least === true ? 'at least ' : ''}${formatCurrent(stall.level_a)}`, beside: `for ${formatDuration(stall.end_s - stall.start_s)}` };
}

/** What the fit of the switch-on says; the reason where there is none; null where nothing was switched on. */
export function fitWords(inrush: Inrush | null): Told | null {
  if (inrush === null || inrush.fit === undefined) return null;
  if (inrush.fit === null) return { figure: 'not told', beside: inrush.no_fit ?? '' };
  const { fit } = inrush;
  const electrical = fit.tau_electrical_s === null ? '' : `, L/R ${milliseconds(fit.tau_electrical_s)}`;
  return { figure: `standing ${significant(fit.standstill_a, 3)} A`, beside: `${significant(fit.low_standstill_a, 3)} to ${significant(fit.high_standstill_a, 3)} A; falls with ${milliseconds(fit.tau_mechanical_s)}${electrical}` };
}

/** How far it turned: turns where the ripples per revolution are known, ripples otherwise; null where it was not counted. */
export function travelWords({ travel }: Actuation): Told | null {
  if (travel === null || travel === undefined) return null;
  const told = (value: number, low: number, high: number, unit: string): Told => ({ figure: `${significant(value, 3)} ${unit}`, beside: `${significant(low, 3)} to ${significant(high, 3)}` });
  if (travel.revolutions === null) return told(travel.ripples, travel.low_ripples, travel.high_ripples, 'ripples');
  return told(travel.revolutions, travel.low_revolutions ?? 0, travel.high_revolutions ?? 0, 'turns');
}

/** What the press asked of the fuse; null when no rating was typed in. */
export function fuseWords({ fuse }: Actuation): Told | null {
  if (fuse === undefined) return null;
  const i2t = `I²t ${significant(fuse.i2t_a2s, 2)} A²s`;
  const figure = `${Math.round(fuse.share * 100)} % for ${formatDuration(fuse.lasted_s)}`;
  if (fuse.share <= 1.1) return { figure, beside: `holds, ${i2t}` };
  return { figure, beside: fuse.holds_s === null || fuse.opens_s === null ? i2t : `opens between ${formatDuration(fuse.holds_s)} and ${formatDuration(fuse.opens_s)}, ${i2t}` };
}

/** Share of the feed's loss that the typed-in wire explains; null without wire or voltage. */
export function wireWords({ wire }: Actuation): Told | null {
  if (wire === undefined) return null;
  const high = wire.high_share === null ? '' : ` to ${Math.round(wire.high_share * 100)}`;
  return { figure: `${Math.round(wire.share * 100)} % of the sag`, beside: `${Math.round(wire.low_share * 100)}${high} %, ${significant(wire.drop_v, 2)} of ${significant(wire.sag_v, 2)} V` };
}

export function commutationWords({ bad_commutation: bad }: Actuation): Told | null {
  if (bad === undefined) return null;
  return { figure: `${formatCurrent(bad.depth_a)} lower once a turn`, beside: `${significant(bad.share * 100, 2)} % of the run, ${bad.revolutions} turns laid over each other` };
}

function milliseconds(durationS: number): string {
  return `${significant(durationS * 1000, 3)} ms`;
}
