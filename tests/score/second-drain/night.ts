import type { DrainFinding } from '../../../src/core/analysis/results.ts';
import type { Gap, Mark } from '../../../src/core/trace.ts';
import { chanceFrom, type Chance } from './chance.ts';
import { workThroughFuses, type Circuit, type FuseWork } from './fuses.ts';
import { between, dimmedLoad, flashes, polling, steady, wake, type Load } from './loads.ts';
import { chooseLogger, driftAt, record, type Logger } from './logger.ts';
import { shutDown } from './shutdown.ts';
import type { Night, NightTruth } from './truth.ts';
import { wakeUps, type Rhythm } from './wakes.ts';

const KINDS = [
  'quiet', 'telematics', 'telematics', 'jittered', 'irregular', 'waking', 'one-fuse', 'one-fuse', 'one-fuse', 'shared', 'empty-fuses',
  'never', 'cut', 'starts-asleep', 'starts-asleep-fuses', 'door', 'charger', 'heavy-module', 'short-drain', 'overnight-drain',
] as const;
type Kind = (typeof KINDS)[number];

const LIMIT_A = 0.05;
/** The usual longest time-out (30 minutes, a maker's manual). Before it a plateau could still be a stage. */
const TIME_OUT_S = 1800;
/** The longest published one: until then a level above the limit may still fall (tests/score/definitions.md). */
const LONGEST_TIME_OUT_S = 75 * 60;

/** One parked vehicle, its recording and what is true of it: the same for the same seed. */
export function night(seed: number): Night {
  const chance = chanceFrom(seed);
  const kind = KINDS[seed % KINDS.length];
  const fuses = kind === 'one-fuse' || kind === 'shared' || kind === 'empty-fuses' || kind === 'starts-asleep-fuses';
  const sleeps = kind !== 'never' && kind !== 'cut' && kind !== 'charger';
  const startsAsleep = kind === 'starts-asleep' || kind === 'starts-asleep-fuses';
  const lastStepS = startsAsleep ? 0 : kind === 'short-drain' ? chance.between(60, 400) : chance.spread(120, 3600);
  const durationS = chooseDuration(chance, kind, lastStepS);
  const logger = chooseLogger(chance, durationS);

  const { baseA, circuits } = chooseCircuits(chance, kind, logger);
  const levelA = baseA + circuits.reduce((sum, circuit) => sum + circuit.meanA, 0);
  const loads: Load[] = [steady(baseA)];
  let settledS = 0;
  if (!startsAsleep) {
    const ending = shutDown(chance, kind === 'cut' ? durationS * chance.between(1.05, 2) : lastStepS, kind === 'never');
    loads.push(...ending.loads);
    settledS = ending.settledS;
  }
  if (kind === 'never') loads.push(polling(chance.between(0.2, 0.9), chance.between(0.02, 0.2), chance.between(0.2, 0.6), 0, Infinity));
  if (kind === 'charger') loads.push(steady(-chance.spread(3, 12)));

  const quietS = settledS + chance.between(60, 240);
  const work: FuseWork | null = fuses ? workThroughFuses(chance, shuffled(chance, circuits), Math.max(quietS + 120, durationS * chance.between(0.45, 0.6)), chance.happens(0.6)) : null;
  const endS = work === null ? durationS : Math.max(durationS, work.endS + 60);
  loads.push(...(work === null ? circuits.map((circuit) => circuit.load) : work.loads));

  const rhythm = chooseRhythm(chance, kind);
  const wakes = wakeUps(chance, sleeps ? rhythm : 'none', quietS, work === null ? endS : work.firstTouchS - 30);
  loads.push(...wakes.loads);
  const visits = kind === 'door' ? visit(chance, quietS, endS) : { loads: [], marks: [], spans: [] };
  loads.push(...visits.loads);

  const holes = chooseHoles(chance, work?.firstTouchS ?? endS, logger.rateHz);
  const trace = record(loads, endS, logger, holes, chance);
  const averageA = levelA + wakes.meanA;
  return {
    name: `${seed} ${kind} ${logger.name} ${logger.rateHz}/s ${Math.round(endS / 60)} min`,
    durationS: endS,
    trace,
    marks: [...visits.marks, ...(work?.marks ?? [])].sort((first, second) => first.timeS - second.timeS),
    truth: {
      asleepAtS: sleeps ? { lowS: lastStepS, highS: settledS } : null,
      levelA: sleeps ? levelA : null,
      driftA: meanDrift(logger, settledS, work?.firstTouchS ?? endS),
      wakeUps: [...wakes.spans.map((span) => ({ ...span, byPerson: false })), ...visits.spans.map((span) => ({ ...span, byPerson: true }))].sort((first, second) => first.startS - second.startS),
      wakePeriodS: wakes.periodS,
      pulls: work?.pulls ?? [],
      findings: findingsOf(kind, levelA, averageA, endS),
      negative: kind === 'charger',
    },
  };
}

function findingsOf(kind: Kind, levelA: number, averageA: number, durationS: number): NightTruth['findings'] {
  if (kind === 'charger') return ['unclear'];
  if (kind === 'cut') return ['too-short'];
  // a module that looks around every few seconds for ever is awake to one person and keeps waking to another
  if (kind === 'never') return durationS > LONGEST_TIME_OUT_S ? ['awake', 'drain', 'waking'] : ['awake', 'waking', 'too-short'];
  const found: DrainFinding[] = [];
  if (levelA > LIMIT_A) found.push('drain');
  else if (averageA > LIMIT_A * 1.08) found.push('waking');
  else if (averageA < LIMIT_A * 0.92) found.push('asleep');
  else found.push('asleep', 'waking');
  if (levelA > LIMIT_A && durationS < LONGEST_TIME_OUT_S + 600) found.push('too-short');
  return found;
}

function chooseDuration(chance: Chance, kind: Kind, lastStepS: number): number {
  if (kind === 'short-drain') return chance.between(Math.max(600, lastStepS + 300), 1800);
  // cut before the usual time-out is over: after it, a plateau and a drain are the same thing
  if (kind === 'cut') return chance.between(300, 0.7 * TIME_OUT_S);
  if (kind === 'never') return chance.spread(600, 20_000);
  if (kind === 'overnight-drain' || kind === 'telematics') return Math.max(lastStepS * 1.5 + 1200, chance.spread(3600, 43_200));
  return Math.max(lastStepS * 1.4 + 700, chance.spread(900, 30_000));
}

function chooseCircuits(chance: Chance, kind: Kind, logger: Logger): { baseA: number; circuits: Circuit[] } {
  const labels = shuffled(chance, Array.from({ length: 24 }, (_, index) => `F${index + 1}`)).slice(0, chance.whole(3, 9));
  const drains = kind === 'one-fuse' || kind === 'short-drain' || kind === 'overnight-drain' ? 1 : kind === 'shared' ? 2 : 0;
  const over = kind === 'heavy-module' || (kind === 'starts-asleep-fuses' && chance.happens(0.6)) || (kind === 'door' && chance.happens(0.3));
  const baseA = kind === 'empty-fuses' ? chance.between(0.07, 0.25) : over ? chance.spread(0.06, 0.5) : chance.between(0.006, 0.018);
  const circuits = labels.map((label, index): Circuit => {
    if (index < drains) return trickle(chance, label, chance.spread(0.07, 0.5), logger);
    if (kind === 'starts-asleep-fuses' && index === 0) return trickle(chance, label, chance.between(0.008, 0.02), logger);
    const small = chance.happens(0.3) ? chance.between(0.0003, 0.003) : 0;
    return { label, meanA: small, load: steady(small) };
  });
  if (chance.happens(0.25)) circuits[circuits.length - 1] = alarmLamp(chance, circuits[circuits.length - 1].label);
  return { baseA, circuits };
}

/** A load that is left on: steady, or switched by a clock so unsteady that only its mean counts (a logger that averages sees that mean). */
function trickle(chance: Chance, label: string, meanA: number, logger: Logger): Circuit {
  const dimmed = chance.happens(0.2);
  const duty = chance.between(0.3, 0.7);
  const salt = chance.whole(1, 1e6);
  if (!dimmed || logger.averages || logger.rateHz < 20) return { label, meanA, load: steady(meanA) };
  return { label, meanA, load: dimmedLoad(meanA / duty, duty, salt) };
}

/** The flashing lamp of an alarm: short, about once a second. */
function alarmLamp(chance: Chance, label: string): Circuit {
  const duty = chance.between(0.05, 0.15);
  const amountA = chance.between(0.008, 0.02);
  return { label, meanA: amountA * duty, load: flashes(amountA, duty, chance.whole(1, 1e6)) };
}

function chooseRhythm(chance: Chance, kind: Kind): Rhythm {
  if (kind === 'telematics') return 'regular';
  if (kind === 'jittered' || kind === 'irregular') return kind;
  if (kind === 'waking') return 'frequent';
  if (kind === 'one-fuse' || kind === 'overnight-drain' || kind === 'starts-asleep') return chance.oneOf(['none', 'none', 'regular', 'jittered', 'irregular']);
  return 'none';
}

/** Somebody opens a door once or twice, and taps the mark a little before or after. */
function visit(chance: Chance, fromS: number, toS: number): { loads: Load[]; marks: Mark[]; spans: { startS: number; endS: number }[] } {
  const spans: { startS: number; endS: number }[] = [];
  const loads: Load[] = [];
  const marks: Mark[] = [];
  const times = chance.whole(1, 2);
  for (let index = 0; index < times; index++) {
    const startS = fromS + (toS - fromS) * (0.1 + 0.5 * index + chance.between(0, 0.2));
    const endS = Math.min(startS + chance.between(20, 200), toS - 90);
    if (endS - startS < 10) continue;
    spans.push({ startS, endS });
    loads.push(between(chance.between(0.4, 2), startS, startS + (endS - startS) * 0.6, 3), wake(chance.between(0.2, 1.5), startS, endS, endS - startS, 1));
    marks.push({ timeS: startS + chance.between(-5, 5), kind: 'wake', label: 'door' });
  }
  return { loads, marks, spans };
}

function chooseHoles(chance: Chance, durationS: number, rateHz: number): Gap[] {
  if (!chance.happens(0.25)) return [];
  const holes: Gap[] = [];
  let atS = durationS * chance.between(0.05, 0.4);
  for (let index = chance.whole(1, 3); index > 0 && atS < durationS * 0.9; index--) {
    const startS = Math.round(atS * rateHz) / rateHz;
    const endS = startS + Math.ceil(chance.spread(2, Math.min(300, durationS * 0.03)) * rateHz) / rateHz;
    holes.push({ startS, endS });
    atS = endS + durationS * chance.between(0.05, 0.3);
  }
  return holes;
}

function meanDrift(logger: Logger, startS: number, endS: number): number {
  let sum = 0;
  for (let part = 0; part < 20; part++) sum += driftAt(logger, startS + ((part + 0.5) / 20) * (endS - startS));
  return sum / 20;
}

function shuffled<T>(chance: Chance, items: readonly T[]): T[] {
  const order = [...items];
  for (let index = order.length - 1; index > 0; index--) {
    const other = chance.whole(0, index);
    [order[index], order[other]] = [order[other], order[index]];
  }
  return order;
}
