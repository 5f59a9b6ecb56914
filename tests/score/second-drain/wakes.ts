import type { Chance } from './chance.ts';
import { chatter, polling, wake, type Load } from './loads.ts';

export type Rhythm = 'none' | 'regular' | 'jittered' | 'irregular' | 'frequent';

export interface Wakes {
  readonly spans: readonly { readonly startS: number; readonly endS: number }[];
  readonly loads: readonly Load[];
  readonly periodS: number | null;
  /** what they add to the average while they go on, A */
  readonly meanA: number;
}

/** Wake-ups of a radio module in `[fromS, toS)`. Regular ones keep their beat, as the 45 s every 9 to 10 minutes of one maker's manual. */
export function wakeUps(chance: Chance, rhythm: Rhythm, fromS: number, toS: number): Wakes {
  const none: Wakes = { spans: [], loads: [], periodS: null, meanA: 0 };
  if (rhythm === 'none') return none;
  const room = toS - fromS;
  const periodS = rhythm === 'frequent' ? chance.between(120, 260) : Math.min(chance.oneOf([180, 300, 540, 600, 900, 1800]), room / 4.5) * chance.between(0.9, 1.1);
  const lengthS = rhythm === 'frequent' ? periodS * chance.between(0.25, 0.4) : Math.min(periodS * 0.2, chance.oneOf([5, 12, 45, 45, 60]) * chance.between(0.8, 1.2));
  if (periodS < 60) return none;
  const amountA = rhythm === 'frequent' ? chance.between(0.15, 0.35) : chance.between(0.06, 0.3);
  const firstS = chance.happens(0.4) ? lengthS * chance.between(0.1, 0.4) : lengthS;
  const restShare = chance.between(0.4, 0.8);
  const busy = chance.happens(0.3);
  const spans: { startS: number; endS: number }[] = [];
  const loads: Load[] = [];
  let atS = fromS + chance.between(0.3, 0.9) * periodS;
  let beats = 0;
  const first = atS;
  while (atS + lengthS < toS) {
    const startS = rhythm === 'jittered' ? atS + chance.normal() * 0.03 * periodS : atS;
    const endS = startS + lengthS * (rhythm === 'irregular' ? chance.between(0.5, 1.5) : 1);
    spans.push({ startS, endS });
    loads.push(wake(amountA, startS, endS, firstS, restShare));
    if (busy) loads.push((timeS) => (timeS >= startS && timeS < endS ? bursts(timeS) : 0));
    beats++;
    atS = rhythm === 'irregular' ? endS + 40 - Math.log(1 - chance.between(0, 0.98)) * periodS : first + beats * periodS;
  }
  const count = spans.length;
  const keeps = rhythm === 'regular' || rhythm === 'jittered' || rhythm === 'frequent';
  const share = firstS / lengthS;
  return {
    spans,
    loads,
    periodS: keeps && count >= 4 ? (spans[count - 1].startS - spans[0].startS) / (count - 1) : null,
    meanA: (amountA * (share + (1 - share) * restShare) * spans.reduce((sum, span) => sum + span.endS - span.startS, 0)) / room,
  };

  function bursts(timeS: number): number {
    return looks(timeS) + traffic(timeS);
  }
}

const looks = polling(0.04, 4, 0.1, 0, Infinity);
const traffic = chatter(0.02, 0.4, 77, Infinity);
