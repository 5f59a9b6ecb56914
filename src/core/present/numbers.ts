import { SECONDS_PER_HOUR } from '../units.ts';

/** How one language writes figures: its decimal mark, its thousands and what goes between two ends of a range. */
export interface Numbers {
  /** so many decimals, none of them dropped: decimal(2.5, 2) is "2.50"; nothing has no sign */
  readonly decimal: (value: number, decimals: number) => string;
  /** so many significant figures and no exponent: significant(12.345, 3) is "12.3" */
  readonly significant: (value: number, figures: number) => string;
  /** at most so many significant figures, no zeros behind them: atMost(1.5, 3) is "1.5" */
  readonly atMost: (value: number, figures: number) => string;
  /** as it is: plain(12.5) is "12.5" */
  readonly plain: (value: number) => string;
  /** a whole number with its thousands set apart */
  readonly formatCount: (value: number) => string;
  /** `4.27 A`, below 1 A in milliamps: `35.1 mA`; three significant figures, two below 10 mA */
  readonly formatCurrent: (currentA: number) => string;
  /** `4.27 A (4.21 to 4.33)`, the unit chosen by the larger bound */
  readonly formatCurrentBounds: (currentA: number, lowA: number, highA: number) => string;
  /** the same in its two parts: `4.27 A` and `4.21 to 4.33` */
  readonly currentAndBounds: (currentA: number, lowA: number, highA: number) => { readonly figure: string; readonly bounds: string; readonly unit: string };
  /**
   * A current and its bounds with no more digits than the bounds carry: `400 mA` and `330 to 510 mA`. Two figures of the half-width where it begins with less than 3.55,
   * else one (Particle Data Group, Review of Particle Physics, introduction, 5.3); the bounds are rounded outwards.
   */
  readonly formatCurrentWithin: (currentA: number, lowA: number, highA: number) => { readonly figure: string; readonly bounds: string };
  /** `38 ms`, `2.4 s`, `3 min 20 s`, `10 min`, `6 h 05 min`, `2 d 3 h` */
  readonly formatDuration: (durationS: number) => string;
}

/** The figures of a language, by its tag (BCP 47). Digits are rounded as the language of programs rounds them; Intl only writes them. */
export function numbersIn(locale: string, range: (low: string, high: string) => string): Numbers {
  const whole = new Intl.NumberFormat(locale, { maximumFractionDigits: 0, signDisplay: 'negative' });
  const writers = new Map<number, Intl.NumberFormat>();
  const decimal = (value: number, decimals: number): string => {
    let writer = writers.get(decimals);
    if (writer === undefined) {
      writer = new Intl.NumberFormat(locale, { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false, signDisplay: 'negative' });
      writers.set(decimals, writer);
    }
    return writer.format(value.toFixed(decimals) as Intl.StringNumericLiteral);
  };
  const significant = (value: number, figures: number): string => {
    if (value === 0) return decimal(0, 0);
    const rounded = Number(value.toPrecision(figures));
    const decimals = figures - 1 - Math.floor(Math.log10(Math.abs(rounded)));
    return decimal(rounded, Math.min(MOST_DECIMALS, Math.max(0, decimals)));
  };
  const atMost = (value: number, figures: number): string => {
    const rounded = Number(value.toPrecision(figures));
    return decimal(rounded, decimalsOf(rounded));
  };
  const formatCurrent = (currentA: number): string => {
    const sizeA = Math.abs(currentA);
    if (sizeA < 0.9995) return `${withMinus(significant(currentA * 1000, sizeA < 0.00995 ? 2 : 3))} mA`;
    return `${withMinus(significant(currentA, 3))} A`;
  };
  const currentAndBounds = (currentA: number, lowA: number, highA: number): ReturnType<Numbers['currentAndBounds']> => {
    const milli = Math.max(Math.abs(lowA), Math.abs(highA)) < 0.9995;
    const factor = milli ? 1000 : 1;
    const unit = milli ? 'mA' : 'A';
    const decimals = decimalsFor((highA - lowA) * factor);
    const word = (valueA: number): string => withMinus(decimal(valueA * factor, decimals));
    return { figure: `${word(currentA)} ${unit}`, bounds: range(word(lowA), word(highA)), unit };
  };
  return {
    decimal,
    significant,
    atMost,
    plain: (value) => atMost(value, MOST_DECIMALS),
    formatCount: (value) => whole.format(value),
    formatCurrent,
    currentAndBounds,
    formatCurrentBounds: (currentA, lowA, highA) => {
      const { figure, bounds } = currentAndBounds(currentA, lowA, highA);
      return `${figure} (${bounds})`;
    },
    formatCurrentWithin: (currentA, lowA, highA) => {
      const milli = Math.max(Math.abs(lowA), Math.abs(highA)) < 0.9995;
      const factor = milli ? 1000 : 1;
      const half = ((highA - lowA) / 2) * factor;
      if (!(half > 0)) return { figure: formatCurrent(currentA), bounds: '' };
      const order = Math.floor(Math.log10(half));
      const exponent = half / 10 ** order < TWO_FIGURES_BELOW ? order - 1 : order;
      const word = (valueA: number, whole: (steps: number) => number): string => withMinus(decimal(whole(Number(((valueA * factor) / 10 ** exponent).toPrecision(12))) * 10 ** exponent, Math.max(0, -exponent)));
      const unit = milli ? 'mA' : 'A';
      return { figure: `${word(currentA, Math.round)} ${unit}`, bounds: `${range(word(lowA, Math.floor), word(highA, Math.ceil))} ${unit}` };
    },
    formatDuration: (durationS) => {
      const sizeS = Math.abs(durationS);
      const sign = durationS < 0 && sizeS >= 0.0005 ? '\u2212' : '';
      if (sizeS < 0.9995) return `${sign}${Math.round(sizeS * 1000)} ms`;
      if (sizeS < 9.95) return `${sign}${decimal(sizeS, 1)} s`;
      if (sizeS < 99.5) return `${sign}${Math.round(sizeS)} s`;
      const wholeS = Math.round(sizeS);
      if (wholeS < SECONDS_PER_HOUR) return `${sign}${Math.floor(wholeS / 60)} min${wholeS % 60 === 0 ? '' : ` ${pad2(wholeS % 60)} s`}`;
      const wholeMin = Math.round(sizeS / 60);
      if (wholeMin < 48 * 60) return `${sign}${Math.floor(wholeMin / 60)} h ${pad2(wholeMin % 60)} min`;
      const wholeH = Math.round(sizeS / SECONDS_PER_HOUR);
      return `${sign}${Math.floor(wholeH / 24)} d ${wholeH % 24} h`;
    },
  };
}

/** The true minus sign, as figures beside a chart and in a table have it. */
export function withMinus(text: string): string {
  return text.replace('-', '\u2212');
}

const TWO_FIGURES_BELOW = 3.55;

/** beyond these a figure of ours is noise */
const MOST_DECIMALS = 12;

/** How many decimals make sense beside an uncertainty of this width: one more figure than the uncertainty's first. */
function decimalsFor(width: number): number {
  if (!(width > 0)) return 2;
  return Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(width))));
}

/** How many decimals a number has as it is written. */
function decimalsOf(value: number): number {
  let decimals = 0;
  while (decimals < MOST_DECIMALS && Number(value.toFixed(decimals)) !== value) decimals++;
  return decimals;
}

function pad2(value: number): string {
  return String(value).padStart(2, '0');
}
