import { setImmediate } from 'node:timers/promises';
import { joinedFigures } from '../../core/analysis/stretch.ts';
import type { Gap, SampleBlock } from '../../core/trace.ts';
import type { ChargeView } from '../../core/wire/api.ts';
import { RequestError } from '../errors.ts';
import { inOrder } from '../../core/sample-blocks.ts';
import type { SampleRing } from './ring.ts';
import { chargeOfBlocks } from '../store/samples/reading/charge.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.charge;

/** The newest seconds of a recording may not be on the disk yet: these are counted from memory. More than the writer keeps waiting. */
const FRESH_S = 10;
/** Looked back for the sample before the stretch, s: a logger of one reading in two seconds still has one there. */
const LOOK_BACK_S = 4;

export interface LiveCharge {
  readonly ring: Pick<SampleRing, 'lastS' | 'rawFromS' | 'rawBlocks'>;
  readonly gaps: readonly Gap[];
  /** live time of trace time 0 of the running recording, null when none runs */
  readonly recordedFromS: number | null;
  /** charge of the running recording between two moments of its own time, counted in another thread */
  readonly recordedCharge: (fromS: number, toS: number) => Promise<ChargeView>;
}

/**
 * Charge between two moments of live time, from every sample as measured: from memory, which holds the last hour at 1 kS/s, and where it does not reach, from the recording. Throws RequestError
 * when the stretch reaches back further than both. What memory holds as a whole is counted there: only then a slope and a frequency can be worked out.
 */
export async function liveCharge({ ring, gaps, recordedFromS, recordedCharge }: LiveCharge, fromS: number, toS: number): Promise<ChargeView> {
  const { lastS, rawFromS } = ring;
  const endS = Math.min(toS, lastS ?? -Infinity);
  if (rawFromS === null || !(endS > fromS)) throw new RequestError(400, 'bad-request', words.theSelectionHoldsNoSamples);
  const splitS = Math.min(endS, Math.max(rawFromS, endS - FRESH_S));
  if (fromS < rawFromS && recordedFromS !== null && fromS >= recordedFromS && splitS > fromS) {
    const old = await recordedCharge(fromS - recordedFromS, splitS - recordedFromS);
    // as far as it is on the disk; a slow disk may be further behind
    const reachedS = fromS + old.duration_s;
    if (reachedS >= endS) return old;
    return sumOf(old, await chargeOfBlocks(inTurns(wholeBlocks(ring.rawBlocks(reachedS - LOOK_BACK_S, Infinity), gaps)), gaps, reachedS, endS));
  }
  if (fromS < rawFromS) throw new RequestError(422, 'too-large', words.theStretchBeginsBefore);
  return chargeOfBlocks(inTurns(wholeBlocks(ring.rawBlocks(fromS - LOOK_BACK_S, Infinity), gaps)), gaps, fromS, endS);
}

/** Blocks cut at the gaps. */
function* wholeBlocks(blocks: readonly SampleBlock[], gaps: readonly Gap[]): Generator<SampleBlock> {
  for (const piece of inOrder(blocks, gaps)) if ('timeS' in piece) yield piece;
}

/** An hour of samples takes a while: the reader of the logger has its turn between two pieces. */
async function* inTurns(blocks: Iterable<SampleBlock>): AsyncGenerator<SampleBlock> {
  for (const block of blocks) {
    yield block;
    await setImmediate();
  }
}

function sumOf(a: ChargeView, b: ChargeView): ChargeView {
  const charge = a.charge_c + b.charge_c;
  const durationS = a.duration_s + b.duration_s;
  const gapS = a.gap_s + b.gap_s;
  return { charge_c: charge, charge_ah: charge / 3600, mean_a: durationS > gapS ? charge / (durationS - gapS) : 0, duration_s: durationS, gap_s: gapS, ...joinedFigures(a, b, durationS > 0 ? a.duration_s / durationS : 0) };
}
