import type { Gap, Trace } from '../../../src/core/trace.ts';
import type { Dice } from './dice.ts';
import type { Parked } from './parked.ts';

/** How the logger sees it. */
export interface Logger {
  readonly rateHz: number;
  readonly noiseA: number;
  /** correlation time of the noise, s; 0 = each sample for itself */
  readonly memoryS: number;
  readonly stepA: number;
  readonly offsetA: number;
  readonly driftAPerH: number;
  readonly humA: number;
  readonly jitter: number;
  readonly gaps: readonly Gap[];
}

const MOST_SAMPLES = 400_000;

export function anyLogger(dice: Dice, parked: Parked): Logger {
  const fastest = Math.min(1000, MOST_SAMPLES / parked.lengthS);
  const rateHz = dice.scaled(Math.min(0.5, fastest), fastest);
  const memoryS = dice.chance(0.5) ? 0 : dice.scaled(2 / rateHz, Math.max(2 / rateHz, 8));
  let noiseA = dice.scaled(0.0002, 0.02);
  // noise no reader could average out is taken down: 0.5 mA for the level, 0.8 mA for each side of a pull
  const perSecond = memoryS > 0 ? 2 * memoryS + 1 / rateHz : 1 / rateHz;
  const restS = parked.asleepAtS === null ? 300 : Math.max(60, (parked.marks.find((mark) => mark.kind === 'pull')?.timeS ?? parked.lengthS) - parked.asleepAtS);
  noiseA = Math.min(noiseA, 0.0005 / Math.sqrt(perSecond / restS));
  if (parked.pulls.length > 0) noiseA = Math.min(noiseA, 0.0008 / Math.sqrt(perSecond / 15));
  let stepA = dice.chance(0.5) ? 0 : dice.scaled(0.001, 0.025);
  if (memoryS > 0 || rateHz < 5) stepA = Math.min(stepA, 0.002);
  else if (dice.chance(0.9)) stepA = Math.min(stepA, 2.5 * noiseA);
  const gaps: Gap[] = [];
  if (dice.chance(0.15)) {
    const startS = dice.between(0.1, 0.9) * parked.lengthS;
    gaps.push({ startS, endS: startS + Math.min(0.05 * parked.lengthS, dice.scaled(2, 120)) });
  }
  const drifts = dice.chance(0.08) && parked.pulls.length === 0;
  return {
    rateHz,
    noiseA,
    memoryS,
    stepA,
    offsetA: 0,
    driftAPerH: drifts ? (dice.chance(0.5) ? 1 : -1) * dice.scaled(0.001, 0.01) : 0,
    humA: dice.chance(0.2) ? dice.scaled(0.001, 0.02) : 0,
    jitter: dice.chance(0.3) ? 0.2 : 0,
    gaps,
  };
}

export function measure(dice: Dice, parked: Parked, logger: Logger): Trace {
  const { rateHz, noiseA, memoryS, stepA } = logger;
  const count = Math.floor(parked.lengthS * rateHz);
  const timeS = new Float64Array(count);
  const currentA = new Float32Array(count);
  const keep = memoryS > 0 ? Math.exp(-1 / (rateHz * memoryS)) : 0;
  const fresh = Math.sqrt(1 - keep * keep);
  const fastHz = rateHz > 200 ? 50 : rateHz * 0.37;
  const edges = edgesOf(parked);
  let noise = noiseA * dice.normal();
  let length = 0;
  let lastKept = -Infinity;
  let edge = 0;
  let active = parked.draws.filter((draw) => isActive(draw, 0));
  let trueA = 0;
  const gaps: Gap[] = [];
  for (let i = 0; i < count; i++) {
    const atS = (i + logger.jitter * dice.between(0, 1)) / rateHz;
    const changed = edge < edges.length && edges[edge] <= atS;
    while (edge < edges.length && edges[edge] <= atS) edge++;
    if (changed || i === 0) active = parked.draws.filter((draw) => isActive(draw, atS) && !isOut(parked, draw.fuse, atS));
    trueA = 0;
    for (const draw of active) trueA += atS < draw.toS ? draw.currentA : draw.currentA * Math.exp(-(atS - draw.toS) / draw.tailS);
    noise = keep * noise + fresh * noiseA * dice.normal();
    let value = trueA + noise + logger.offsetA + (logger.driftAPerH * atS) / 3600 + logger.humA * Math.sin(2 * Math.PI * fastHz * atS);
    if (trueA > 0.5) value += 0.01 * trueA * dice.normal();
    if (stepA > 0) value = Math.round(value / stepA) * stepA;
    const gap = logger.gaps.find((one) => atS > one.startS && atS < one.endS);
    if (gap !== undefined) continue;
    if (lastKept >= 0 && logger.gaps.some((one) => one.startS >= lastKept && one.endS <= atS)) gaps.push({ startS: lastKept, endS: atS });
    lastKept = atS;
    timeS[length] = atS;
    currentA[length++] = value;
  }
  return { timeS: timeS.subarray(0, length), currentA: currentA.subarray(0, length), voltageV: null, gaps };
}

function isActive(draw: Parked['draws'][number], atS: number): boolean {
  return atS >= draw.fromS && atS < draw.toS + 12 * draw.tailS;
}

function isOut(parked: Parked, fuse: string | null, atS: number): boolean {
  return fuse !== null && parked.outages.some((outage) => outage.fuse === fuse && atS >= outage.fromS && atS < outage.toS);
}

function edgesOf(parked: Parked): number[] {
  const edges: number[] = [];
  for (const draw of parked.draws) edges.push(draw.fromS, draw.toS, draw.toS + 12 * draw.tailS);
  for (const outage of parked.outages) edges.push(outage.fromS, outage.toS);
  return edges.filter((edge) => edge >= 0 && edge < Infinity).sort((a, b) => a - b);
}
