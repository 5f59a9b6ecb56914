import type { Actuation, Asymmetry, Direction } from '../../results.ts';
import { significant } from '../../../units.ts';

/** Sentences about how far the motor turned. */

/** A difference in current between the directions is worth a sentence from here; a heavier way up is often how it is built. */
const UNEVEN_CURRENT = 1.25;
/** and one in travel from here, where its bounds agree: a mechanism ends where it began */
const UNEVEN_TRAVEL = 1.05;

export function asymmetrySentences(asymmetry: Asymmetry | null): string[] {
  if (asymmetry === null) return [];
  const sentences: string[] = [];
  const { run_ratio: run, travel_ratio: travel } = asymmetry;
  if (Math.abs(Math.log(run)) > Math.log(UNEVEN_CURRENT)) {
    const [more, less, ratio] = run > 1 ? ['Forward', 'reverse', run] : ['Reverse', 'forward', 1 / run];
    sentences.push(`${more} takes ${significant(ratio, 3)} times the current of ${less}.`);
  }
  const low = asymmetry.low_travel_ratio;
  const high = asymmetry.high_travel_ratio;
  if (typeof travel === 'number' && typeof low === 'number' && typeof high === 'number' && (low > UNEVEN_TRAVEL || high < 1 / UNEVEN_TRAVEL)) {
    const [more, less, band] = travel > 1 ? ['Forward', 'reverse', [travel, low, high]] : ['Reverse', 'forward', [1 / travel, 1 / high, 1 / low]];
    sentences.push(`${more} the motor turned ${significant(band[0], 3)} times as far as ${less} (${significant(band[1], 3)} to ${significant(band[2], 3)}), by its ripples: it did not come back to where it began, or it slips one way.`);
  }
  return sentences;
}

/** How far it turned, where that can be said in turns. */
export function travelSentence(actuations: readonly Actuation[]): string | null {
  const told = (direction: Actuation['direction']): string | null => {
    const counted = actuations.flatMap((actuation) => (actuation.direction === direction && typeof actuation.travel?.revolutions === 'number' ? [actuation.travel] : []));
    if (counted.length === 0) return null;
    const low = Math.min(...counted.map((travel) => travel.low_revolutions ?? 0));
    const high = Math.max(...counted.map((travel) => travel.high_revolutions ?? 0));
    const mean = counted.reduce((sum, travel) => sum + (travel.revolutions ?? 0), 0) / counted.length;
    return `${significant(mean, 3)} turns ${direction} (${significant(low, 3)} to ${significant(high, 3)})`;
  };
  const parts = [told('forward'), told('reverse')].filter((part) => part !== null);
  return parts.length === 0 ? null : `Under power the motor made ${parts.join(' and ')} in a press.`;
}

/** spread of the places at which it stood still, over their mean: below the first one place, above the second different ones. Common practice */
const ONE_PLACE = 0.05;
const DIFFERENT_PLACES = 0.15;

/** An end stop and a fixed obstacle hold the motor at the same place each time, grit and a loose object do not. */
export function placeSentence(actuations: readonly Actuation[]): string | null {
  const found: string[] = [];
  for (const direction of ['forward', 'reverse'] satisfies Direction[]) {
    const ways = actuations.flatMap((actuation) => {
      const { travel } = actuation;
      const stood = actuation.stalls.filter((stall) => stall.at === 'travel');
      return actuation.direction === direction && stood.length === 1 && travel !== null && travel !== undefined ? [travel] : [];
    });
    if (ways.length < 2) continue;
    const counts = ways.map((travel) => travel.ripples);
    const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
    const spread = (Math.max(...counts) - Math.min(...counts)) / mean;
    const perTurn = ways[0].revolutions === null ? null : ways[0].ripples / ways[0].revolutions;
    const told = (count: number): string => (perTurn === null ? `${significant(count, 3)} ripples` : `${significant(count / perTurn, 3)} turns`);
    if (spread < ONE_PLACE) found.push(`in ${ways.length} presses ${direction} after the same way each time (${told(mean)}): one fixed place, its end of travel or something that sits there`);
    else if (spread > DIFFERENT_PLACES) found.push(`in ${ways.length} presses ${direction} at different places (after ${told(Math.min(...counts))} to ${told(Math.max(...counts))}): no end of travel, rather grit, a loose part or a tired motor`);
  }
  return found.length === 0 ? null : `It stood still ${found.join('; ')}.`;
}
