import { significant } from '../../units.ts';
import { DRAIN_METRICS } from './drain-metrics.ts';
import { ACTUATION_METRICS, FAULTY_SHARE } from './metrics.ts';
import type { ComparedMetric } from './results.ts';

interface Described {
  readonly name: string;
  readonly words: string;
  readonly unit: string;
  readonly worse: 1 | -1 | 0;
  readonly decides: boolean;
}

const ALL: readonly Described[] = [...ACTUATION_METRICS, FAULTY_SHARE, ...DRAIN_METRICS];

/** Words, unit and meaning of a compared figure by its public name. A name that is not known is shown as it came and decides nothing. */
export function describeMetric(name: string): Described {
  return ALL.find((metric) => metric.name === name) ?? { name, words: name, unit: '', worse: 0, decides: false };
}

/** Currents below 1 A on both sides read better in mA: the factor and the unit to show a pair's figures in. */
export function shownIn({ metric, before, after }: ComparedMetric): { readonly factor: number; readonly unit: string } {
  const { unit } = describeMetric(metric);
  const small = unit === 'A' && Math.max(Math.abs(before ?? 0), Math.abs(after ?? 0)) < 1;
  return small ? { factor: 1000, unit: 'mA' } : { factor: 1, unit };
}

/** "−3.41 to −3.07", or one of them where a reading at the end of the sensor's range leaves the other side open; empty without any. */
export function boundsWords({ low, high }: ComparedMetric, number: (value: number) => string): string {
  if (low !== null && high !== null) return `${number(low)} to ${number(high)}`;
  if (low !== null) return `at least ${number(low)}`;
  return high === null ? '' : `at most ${number(high)}`;
}

/** "Running current forward: 7.42 A before, 4.18 A after, change −3.24 A (−3.41 to −3.07)." */
export function sentence(pair: ComparedMetric): string {
  const { words } = describeMetric(pair.metric);
  if (pair.metric === FAULTY_SHARE.name && pair.before !== null && pair.after !== null) {
    const presses = (share: number, of: number): string => `${Math.round(share * of)} of ${of}`;
    return `Presses with a fault: ${presses(pair.before, pair.before_count)} before, ${presses(pair.after, pair.after_count)} after.`;
  }
  const { factor, unit } = shownIn(pair);
  const plain = (value: number): string => significant(value * factor, 3).replace('-', '\u2212');
  const figure = (value: number): string => `${plain(value)}${unit === '' ? '' : ` ${unit === 'ohm' ? '\u03a9' : unit}`}`;
  const name = `${words.charAt(0).toUpperCase()}${words.slice(1)}${pair.direction === null ? '' : ` ${pair.direction}`}`;
  if (pair.before === null || pair.after === null || pair.change === null) {
    return `${name}: ${pair.before === null ? 'not there before' : `${figure(pair.before)} before`}, ${pair.after === null ? 'not there after' : `${figure(pair.after)} after`}.`;
  }
  const bounds = boundsWords(pair, plain);
  return `${name}: ${figure(pair.before)} before, ${figure(pair.after)} after, change ${figure(pair.change)}${bounds === '' ? '' : ` (${bounds})`}.`;
}
