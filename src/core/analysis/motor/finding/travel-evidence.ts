import type { Asymmetry, Direction, Travel } from '../../results.ts';
import type { MotorEvidence, PressReading, StopPlaces } from '../codes.ts';
import { CLEAR_PART, LITTLE, SMALL_PART } from '../signal/decision-levels.ts';

/** What the current and the travel of both directions say. */

const bothWays = ['forward', 'reverse'] as const satisfies readonly Direction[];

/** A clear difference in current between the directions, as a heavier way up is often how it is built, and a little one in travel where its bounds agree: a mechanism ends where it began. */
export function asymmetryEvidence(asymmetry: Asymmetry | null): MotorEvidence[] {
  if (asymmetry === null) return [];
  const found: MotorEvidence[] = [];
  const { run_ratio: run, travel_ratio: travel, low_travel_ratio: low, high_travel_ratio: high } = asymmetry;
  if (Math.abs(Math.log(run)) > Math.log(1 + CLEAR_PART)) found.push({ code: 'one-way-harder', harder: run > 1 ? 'forward' : 'reverse', ratio: Math.max(run, 1 / run) });
  if (typeof travel === 'number' && typeof low === 'number' && typeof high === 'number' && (low > 1 + LITTLE || high < 1 / (1 + LITTLE))) {
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
  if (spread >= LITTLE && spread <= SMALL_PART) return null;
  return { direction, presses: ways.length, placeIs: spread < LITTLE ? 'same' : 'different', unit: perTurn === null ? 'ripples' : 'turns', mean, low, high };
}
