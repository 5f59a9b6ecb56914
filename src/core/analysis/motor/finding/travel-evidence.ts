import type { Asymmetry, Direction, Travel } from '../../results.ts';
import type { MotorEvidence, PressReading, StopPlaces } from '../codes.ts';

/** What the current and the travel of both directions say. */

/** A difference in current between the directions is worth saying from here; a heavier way up is often how it is built. Common practice, no published source */
const UNEVEN_CURRENT = 1.25;
/** and one in travel from here, where its bounds agree: a mechanism ends where it began. Common practice, no published source */
const UNEVEN_TRAVEL = 1.05;

const bothWays = ['forward', 'reverse'] as const satisfies readonly Direction[];

export function asymmetryEvidence(asymmetry: Asymmetry | null): MotorEvidence[] {
  if (asymmetry === null) return [];
  const found: MotorEvidence[] = [];
  const { run_ratio: run, travel_ratio: travel, low_travel_ratio: low, high_travel_ratio: high } = asymmetry;
  if (Math.abs(Math.log(run)) > Math.log(UNEVEN_CURRENT)) found.push({ code: 'one-way-harder', harder: run > 1 ? 'forward' : 'reverse', ratio: Math.max(run, 1 / run) });
  if (typeof travel === 'number' && typeof low === 'number' && typeof high === 'number' && (low > UNEVEN_TRAVEL || high < 1 / UNEVEN_TRAVEL)) {
    found.push(travel > 1 ? { code: 'one-way-farther', farther: 'forward', ratio: travel, low, high } : { code: 'one-way-farther', farther: 'reverse', ratio: 1 / travel, low: 1 / high, high: 1 / low });
  }
  return found;
}

/** How far it turned, where that is known in turns: the mean of each direction and the widest bounds. */
export function travelEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const ways = bothWays.flatMap((direction) => {
    const counted = actuations.flatMap((actuation) => (actuation.direction === direction && typeof actuation.travel?.revolutions === 'number' ? [actuation.travel] : []));
    if (counted.length === 0) return [];
    const low = Math.min(...counted.map((travel) => travel.low_revolutions ?? 0));
    const high = Math.max(...counted.map((travel) => travel.high_revolutions ?? 0));
    const turns = counted.reduce((sum, travel) => sum + (travel.revolutions ?? 0), 0) / counted.length;
    return [{ direction, turns, low, high }];
  });
  return ways.length === 0 ? [] : [{ code: 'travel', ways }];
}

/** spread of the places at which it stood still, over their mean: below the first one place, above the second different ones. Common practice, no published source */
const ONE_PLACE = 0.05;
const DIFFERENT_PLACES = 0.15;

/** An end stop and a fixed obstacle hold the motor at the same place each time, grit and a loose object do not. */
export function placeEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const ways = bothWays.flatMap((direction) => stopPlaces(actuations, direction) ?? []);
  return ways.length === 0 ? [] : [{ code: 'stop-places', ways }];
}

/** null where fewer than two presses stood still just once, or where their places are neither the same nor clearly different. */
function stopPlaces(actuations: readonly PressReading[], direction: Direction): StopPlaces | null {
  const ways: Travel[] = actuations.flatMap((actuation) => {
    const stood = actuation.stalls.filter((stall) => stall.at === 'travel');
    return actuation.direction === direction && stood.length === 1 && actuation.travel != null ? [actuation.travel] : [];
  });
  if (ways.length < 2) return null;
  const perTurn = ways[0].revolutions === null ? null : ways[0].ripples / ways[0].revolutions;
  const counts = ways.map((travel) => travel.ripples / (perTurn ?? 1));
  const mean = counts.reduce((sum, count) => sum + count, 0) / counts.length;
  const [low, high] = [Math.min(...counts), Math.max(...counts)];
  const spread = (high - low) / mean;
  if (spread >= ONE_PLACE && spread <= DIFFERENT_PLACES) return null;
  return { direction, presses: ways.length, placeIs: spread < ONE_PLACE ? 'same' : 'different', unit: perTurn === null ? 'ripples' : 'turns', mean, low, high };
}
