import { BLOCK_S, CLEAR_SIGMAS, TRIFLE_SHARE } from '../settings.ts';
import type { Recorded } from '../types.ts';

/** Readings that show a current into the battery for a moment only. */
export interface Spikes {
  readonly count: number;
  readonly firstS: number;
  readonly lowestA: number;
}

/**
 * The recording without the readings in which current seems to flow into the battery for a moment, between readings in which it does not,
 * and what they were. No charger and no sun comes and goes so fast: it is interference on the sensor's lead, and a few such readings would
 * move a level by more than all it draws. Nothing is left out where they are so many that something may really feed the battery.
 */
export function withoutSpikes(recorded: Recorded, belowZeroA: number, sigmaA: number): { readonly recorded: Recorded; readonly spikes: Spikes | null } {
  const { key, count, sumA, widthS, length } = recorded;
  const meanA = (i: number): number => sumA[i] / count[i];
  const spikeA = -belowZeroA - CLEAR_SIGMAS * sigmaA;
  const spiky = new Set<number>();
  let samples = 0;
  let lowestA = 0;
  for (let first = 1; first < length; first++) {
    if (meanA(first) >= spikeA || meanA(first - 1) < -belowZeroA) continue;
    let end = first + 1;
    while (end < length && meanA(end) < spikeA) end++;
    if (end < length && meanA(end) >= -belowZeroA && (key[end - 1] - key[first]) * widthS < BLOCK_S) {
      for (let i = first; i < end; i++) {
        spiky.add(i);
        samples += count[i];
        lowestA = Math.min(lowestA, recorded.minA[i]);
      }
    }
    first = end;
  }
  if (samples === 0 || samples > TRIFLE_SHARE * recorded.samples) return { recorded, spikes: null };
  const kept = Array.from({ length }, (_, i) => i).filter((i) => !spiky.has(i));
  const [firstSpike] = spiky;
  return { recorded: withBins(recorded, kept, recorded.samples - samples), spikes: { count: samples, firstS: key[firstSpike] * widthS, lowestA } };
}

function withBins(recorded: Recorded, kept: readonly number[], samples: number): Recorded {
  const { minA, maxA, widthS, firstS, lastS, pickedS, pickedA, picked } = recorded;
  const of = (values: Float64Array): Float64Array => Float64Array.from(kept, (i) => values[i]);
  return {
    length: kept.length, widthS, samples, firstS, lastS, pickedS, pickedA, picked,
    key: of(recorded.key), count: of(recorded.count), sumA: of(recorded.sumA), minA: Float32Array.from(kept, (i) => minA[i]), maxA: Float32Array.from(kept, (i) => maxA[i]),
  };
}
