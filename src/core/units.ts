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

/** A current for people: `4.27 A`, below 1 A in milliamps: `35.1 mA`. Three significant figures. */
export function formatCurrent(currentA: number): string {
  const sizeA = Math.abs(currentA);
  if (sizeA < 0.9995) return `${significant(currentA * 1000, sizeA < 0.00995 ? 2 : 3)} mA`;
  return `${significant(currentA, 3)} A`;
}

/** A current with its bounds: `4.27 A (4.21 to 4.33)`, the unit chosen by the larger bound. */
export function formatCurrentBounds(currentA: number, lowA: number, highA: number): string {
  const milli = Math.max(Math.abs(lowA), Math.abs(highA)) < 0.9995;
  const factor = milli ? 1000 : 1;
  const digits = decimalsFor((highA - lowA) * factor);
  const word = (valueA: number): string => (valueA * factor).toFixed(digits).replace(/^-(?=[0.]+$)/, '');
  return `${word(currentA)} ${milli ? 'mA' : 'A'} (${word(lowA)} to ${word(highA)})`;
}

/**
 * A current and its bounds with no more digits than the bounds carry: `400 mA` and `330 to 510 mA`. Two figures of the half-width where it begins with less than 3.55,
 * else one (Particle Data Group, Review of Particle Physics, introduction, 5.3); the bounds are rounded outwards.
 */
export function formatCurrentWithin(currentA: number, lowA: number, highA: number): { readonly figure: string; readonly bounds: string } {
  const milli = Math.max(Math.abs(lowA), Math.abs(highA)) < 0.9995;
  const factor = milli ? 1000 : 1;
  const half = ((highA - lowA) / 2) * factor;
  if (!(half > 0)) return { figure: formatCurrent(currentA), bounds: '' };
  const order = Math.floor(Math.log10(half));
  const exponent = half / 10 ** order < TWO_FIGURES_BELOW ? order - 1 : order;
  const word = (valueA: number, whole: (steps: number) => number): string => {
    const text = (whole(Number(((valueA * factor) / 10 ** exponent).toPrecision(12))) * 10 ** exponent).toFixed(Math.max(0, -exponent));
    return Number(text) === 0 ? text.replace('-', '') : text;
  };
  const unit = milli ? 'mA' : 'A';
  return { figure: `${word(currentA, Math.round)} ${unit}`, bounds: `${word(lowA, Math.floor)} to ${word(highA, Math.ceil)} ${unit}` };
}

const TWO_FIGURES_BELOW = 3.55;

/** A stretch of time for people: `38 ms`, `2.4 s`, `3 min 20 s`, `6 h 05 min`, `2 d 3 h`. */
export function formatDuration(durationS: number): string {
  const sizeS = Math.abs(durationS);
  const sign = durationS < 0 && sizeS >= 0.0005 ? '-' : '';
  if (sizeS < 0.9995) return `${sign}${Math.round(sizeS * 1000)} ms`;
  if (sizeS < 9.95) return `${sign}${sizeS.toFixed(1)} s`;
  if (sizeS < 99.5) return `${sign}${Math.round(sizeS)} s`;
  const wholeS = Math.round(sizeS);
  if (wholeS < SECONDS_PER_HOUR) return `${sign}${Math.floor(wholeS / 60)} min ${pad2(wholeS % 60)} s`;
  const wholeMin = Math.round(sizeS / 60);
  if (wholeMin < 48 * 60) return `${sign}${Math.floor(wholeMin / 60)} h ${pad2(wholeMin % 60)} min`;
  const wholeH = Math.round(sizeS / SECONDS_PER_HOUR);
  return `${sign}${Math.floor(wholeH / 24)} d ${wholeH % 24} h`;
}

/** Time of day for people, where the program runs: `03:42`. */
export function formatTimeOfDay(atMs: number, locale: string): string {
  return new Intl.DateTimeFormat(locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }).format(atMs);
}

/** `value` with so many significant figures and no exponent: significant(12.345, 3) is "12.3". */
export function significant(value: number, figures: number): string {
  if (value === 0) return '0';
  const rounded = Number(value.toPrecision(figures));
  const decimals = figures - 1 - Math.floor(Math.log10(Math.abs(rounded)));
  return rounded.toFixed(Math.min(12, Math.max(0, decimals)));
}

/** How many decimals make sense beside an uncertainty of this width: one more figure than the uncertainty's first. */
function decimalsFor(width: number): number {
  if (!(width > 0)) return 2;
  return Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(width))));
}

function pad2(value: number): string {
  return String(value).padStart(2, '0');
}
