/**
 * The one place where units change and numbers become words. Inside the program everything is in A, V, s, ohm, Hz; milliamps,
 * ampere-hours and hours exist only in labels and in decoders of other people's files.
 */

export const SECONDS_PER_HOUR = 3600;
export const MS_PER_S = 1000;
const SECONDS_PER_DAY = 86_400;

/** Factors to SI for the unit words accepted in `--columns` and `columns=`; null for an unknown word. */
export function unitFactor(unit: string): number | null {
  switch (unit) {
    case 's':
    case 'A':
    case 'V':
      return 1;
    case 'ms':
    case 'mA':
    case 'mV':
      return 1e-3;
    case 'us':
    case 'uA':
    case 'uV':
      return 1e-6;
    case 'ns':
      return 1e-9;
    case 'min':
      return 60;
    case 'h':
      return SECONDS_PER_HOUR;
    default:
      return null;
  }
}

/**
 * Reads a duration as written on the command line: `500ms`, `30s`, `10m`, `12h`. Returns seconds, or null if it is none
 * (negative, unit missing, or longer than a year).
 */
export function parseDurationS(text: string): number | null {
  const match = /^(\d+(?:\.\d+)?)(ms|s|m|h)$/.exec(text.trim());
  if (match === null) return null;
  const factor = { ms: 1e-3, s: 1, m: 60, h: SECONDS_PER_HOUR }[match[2] as 'ms' | 's' | 'm' | 'h'];
  const durationS = Number(match[1]) * factor;
  return durationS <= 366 * SECONDS_PER_DAY ? durationS : null;
}

/** Time of day for people, where the program runs: `03:42`. */
export function formatTimeOfDay(atMs: number, locale: string): string {
  return new Intl.DateTimeFormat(locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(atMs);
}
