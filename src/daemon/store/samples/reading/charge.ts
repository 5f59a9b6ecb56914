import { chargeBetween } from '../../../../core/analysis/charge.ts';
import { StretchMeter } from '../../../../core/analysis/stretch.ts';
import type { Gap, SampleBlock } from '../../../../core/trace.ts';
import type { ChargeView } from '../../../../core/wire/api.ts';
import { RequestError } from '../../../errors.ts';
import type { TraceReader } from './trace-reader.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.charge;

/** Samples looked back for the one before the selection; more than one, since the spacing is a mean. */
const SAMPLES_BEFORE = 10;

/** Charge between two moments of a stored trace, by the trapezoid rule; missing time counts nothing and is reported. */
export async function chargeStored(reader: TraceReader, fromS: number, toS: number): Promise<ChargeView> {
  const startS = Math.max(fromS, reader.firstS);
  const endS = Math.min(toS, reader.lastS);
  if (!(endS > startS)) throw new RequestError(400, 'bad-request', words.theSelectionHoldsNo(reader.firstS, reader.lastS));
  // the stretch from the last sample before the selection counts too, so reading begins some samples earlier
  const spacingS = (reader.lastS - reader.firstS) / Math.max(1, reader.samples - 1);
  return chargeOfBlocks(reader.blocks(startS - SAMPLES_BEFORE * spacingS, Infinity), reader.gaps, startS, endS);
}

/** The same over blocks in order, none with a gap inside; they may begin before `startS` and are read no further than `endS`. */
export async function chargeOfBlocks(blocks: AsyncIterable<SampleBlock> | Iterable<SampleBlock>, gaps: readonly Gap[], startS: number, endS: number): Promise<ChargeView> {
  let chargeC = 0;
  let measuredS = 0;
  let gap = 0;
  const meter = new StretchMeter(startS, endS);
  // the trapezoid between the last sample of one block and the first of the next belongs to neither, so that sample is carried along
  let lastTimeS = Number.NaN;
  let lastA = 0;
  for await (const block of blocks) {
    const count = block.timeS.length;
    if (count === 0) continue;
    while (gap < gaps.length && gaps[gap]!.endS <= lastTimeS) gap++;
    const joint = gap < gaps.length && gaps[gap]!.startS < block.timeS[0]!;
    const head = Number.isNaN(lastTimeS) || joint ? 0 : 1;
    meter.push(block, joint);
    const timeS = new Float64Array(count + head);
    const currentA = new Float32Array(count + head);
    if (head === 1) {
      timeS[0] = lastTimeS;
      currentA[0] = lastA;
    }
    timeS.set(block.timeS, head);
    currentA.set(block.currentA, head);
    const part = chargeBetween({ timeS, currentA, voltageV: null, gaps: [] }, startS, endS);
    chargeC += part.chargeC;
    measuredS += part.measuredS;
    lastTimeS = block.timeS[count - 1]!;
    lastA = block.currentA[count - 1]!;
    if (lastTimeS >= endS) break;
  }
  return { charge_c: chargeC, charge_ah: chargeC / 3600, mean_a: measuredS > 0 ? chargeC / measuredS : 0, duration_s: endS - startS, gap_s: Math.max(0, endS - startS - measuredS), ...meter.figures() };
}
