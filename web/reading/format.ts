import { decimal, language } from '../../src/core/present/language.ts';
import { SECONDS_PER_HOUR } from '../../src/core/units.ts';

export interface BigFigure {
  /** "+", "−" (a true minus sign) or a figure space's worth of nothing for zero */
  readonly sign: string;
  readonly digits: string;
  readonly unit: string;
}

/**
 * A reading for the big display: always the same number of decimals within one unit, so that figures do not jump about. Currents below
 * 1 A are shown in milliamps when the test is about milliamps (`milli`).
 */
export function bigCurrent(currentA: number, milli: boolean): BigFigure {
  if (milli && Math.abs(currentA) < 0.9995) return figure(currentA * 1000, Math.abs(currentA) < 0.09995 ? 1 : 0, 'mA');
  return figure(currentA, Math.abs(currentA) < 99.95 ? 2 : 1, 'A');
}

export function bigVoltage(voltageV: number): BigFigure {
  return figure(voltageV, 2, 'V');
}

function figure(value: number, decimals: number, unit: string): BigFigure {
  const zero = Number(value.toFixed(decimals)) === 0;
  return { sign: zero ? '' : value < 0 ? '−' : '+', digits: decimal(Math.abs(value), decimals), unit };
}

/** A moment of trace time on the axis: seconds for short spans, minutes and seconds, hours and minutes, days. */
export function formatMoment(atS: number, spanS: number): string {
  const sign = atS < 0 ? '−' : '';
  const sizeS = Math.abs(atS);
  if (spanS < 0.05) return `${sign}${decimal(sizeS, 4)} s`;
  if (spanS < 1) return `${sign}${decimal(sizeS, 3)} s`;
  if (spanS <= 20 && sizeS < 600) return `${sign}${decimal(sizeS, spanS <= 5 ? 2 : 1)} s`;
  if (spanS < SECONDS_PER_HOUR) {
    const decimals = spanS < 10 ? 1 : 0;
    const rounded = Number(sizeS.toFixed(decimals));
    const hours = Math.floor(rounded / SECONDS_PER_HOUR);
    const minutes = Math.floor((rounded % SECONDS_PER_HOUR) / 60);
    const seconds = decimal(rounded % 60, decimals).padStart(decimals === 0 ? 2 : 4, '0');
    return hours === 0 ? `${sign}${minutes}:${seconds}` : `${sign}${hours}:${String(minutes).padStart(2, '0')}:${seconds}`;
  }
  const wholeMin = Math.round(sizeS / 60);
  const hours = Math.floor(wholeMin / 60);
  return `${sign}${hours} h ${String(wholeMin % 60).padStart(2, '0')}`;
}

/** Bytes for people, in the units disks are sold by. */
export function formatBytes(bytes: number): string {
  if (bytes < 1000) return `${bytes} B`;
  if (bytes < 1e6) return `${decimal(bytes / 1e3, 0)} kB`;
  if (bytes < 1e9) return `${decimal(bytes / 1e6, 1)} MB`;
  return `${decimal(bytes / 1e9, 2)} GB`;
}

/** Elapsed time as a clock: 0:07, 12:34, 1:02:03. */
export function formatClock(elapsedS: number): string {
  const whole = Math.max(0, Math.floor(elapsedS));
  const hours = Math.floor(whole / SECONDS_PER_HOUR);
  const minutes = Math.floor((whole % SECONDS_PER_HOUR) / 60);
  const seconds = String(whole % 60).padStart(2, '0');
  return hours === 0 ? `${minutes}:${seconds}` : `${hours}:${String(minutes).padStart(2, '0')}:${seconds}`;
}

const day = new Intl.DateTimeFormat(language.locale, { day: 'numeric', month: 'short', year: 'numeric' });
const minute = new Intl.DateTimeFormat(language.locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
const second = new Intl.DateTimeFormat(language.locale, { hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23' });

/** A moment on the workshop's clock: `25 Nov 2026, 07:05`. The text itself when it is no date. */
export function formatDate(rfc3339: string, withSeconds = false): string {
  const time = formatTime(rfc3339, withSeconds);
  return time === '' ? rfc3339 : `${formatDay(rfc3339)}, ${time}`;
}

export function formatDay(rfc3339: string): string {
  const at = new Date(rfc3339);
  return Number.isNaN(at.getTime()) ? rfc3339 : day.format(at);
}

/** Empty when it is no date. */
export function formatTime(rfc3339: string, withSeconds = false): string {
  const at = new Date(rfc3339);
  return Number.isNaN(at.getTime()) ? '' : (withSeconds ? second : minute).format(at);
}
