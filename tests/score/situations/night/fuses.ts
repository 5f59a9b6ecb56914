import type { Mark } from '../../../../src/core/trace.ts';
import type { Chance } from './chance.ts';
import type { Level, NightLabel, Span, TruePull } from './types.ts';
import type { ParkedNight, Poll } from './vehicle.ts';

/** A fuse of the box and what flows through it while all sleep. */
export interface Circuit {
  readonly label: string;
  readonly restA: number;
  readonly poll?: Poll;
}

/** How the technician goes about it. */
export interface Manner {
  /** how long a fuse is out, and how long between a refit and the next pull */
  readonly outS: () => number;
  readonly betweenS: () => number;
  /** how long after the deed the mark is set; negative for before; null for no mark */
  readonly pullMarkS: () => number | null;
  readonly refitMarkS: () => number | null;
  /** false when a fuse stays out */
  readonly refits: boolean;
  /** how long the module behind a fuse boots after a refit, and with how much */
  readonly bootS: () => number;
}

export function promptly(chance: Chance): Manner {
  return {
    outS: () => chance.between(30, 150),
    betweenS: () => chance.between(60, 200),
    pullMarkS: () => chance.between(0, 1.5),
    refitMarkS: () => chance.between(0, 1.5),
    refits: true,
    bootS: () => chance.between(0.5, 25),
  };
}

/** How little on one fuse changes no decision: less than it need not be distinguished from nothing (definitions.md, "carries"). */
const SMALL_A = 0.005;

export function carriesTruly(change: Level): (boolean | null)[] {
  const ampsA = Math.abs(change.meanA);
  if (ampsA === 0) return [false];
  return ampsA < SMALL_A ? [true, false, null] : [true];
}

export interface Pulled {
  readonly marks: Mark[];
  readonly pulls: TruePull[];
  readonly outs: Span[];
  readonly stirred: Span[];
  readonly endS: number;
}

/** Names of a fuse box, each once. */
export function fuseNames(chance: Chance, count: number): string[] {
  const all = Array.from({ length: 40 }, (_, i) => `F${i + 1}`);
  const names: string[] = [];
  while (names.length < count) names.push(...all.splice(chance.whole(0, all.length - 1), 1));
  return names;
}

/**
 * Draws pulls and refits into the current, one circuit after another from `startS`, and says what is true of each. The circuits'
 * resting currents must already be part of the night's floor; a polling circuit is polled here, with the holes of its own pull.
 */
export function pullAll(night: ParkedNight, circuits: readonly Circuit[], startS: number, manner: Manner): Pulled {
  const out: Pulled & { endS: number } = { marks: [], pulls: [], outs: [], stirred: [], endS: startS };
  let atS = startS;
  for (const circuit of circuits) {
    const toS = manner.refits ? atS + manner.outS() : night.durationS;
    const stepEndS = manner.refits ? toS : atS + manner.outS();
    const bootS = manner.refits ? manner.bootS() : 0;
    drawPull(night, circuit, { fromS: atS, toS }, bootS);
    note(out.marks, circuit.label, 'pull', atS, manner.pullMarkS());
    if (manner.refits) note(out.marks, circuit.label, 'refit', toS, manner.refitMarkS());
    const change = changeOf(circuit);
    out.pulls.push({ label: circuit.label, change, right: carriesTruly(change) });
    out.outs.push({ fromS: atS, toS });
    // a person, a fuse and a booting module stir the current for a moment either side
    out.stirred.push({ fromS: atS - 30, toS: (manner.refits ? toS : atS) + bootS + 30 });
    atS = stepEndS + bootS + manner.betweenS();
    out.endS = atS;
  }
  out.marks.sort((left, right) => left.timeS - right.timeS);
  return out;
}

function drawPull(night: ParkedNight, circuit: Circuit, span: Span, bootS: number): void {
  const { chance, wave } = night;
  if (circuit.poll !== undefined) night.poll(circuit.poll, [span]);
  wave.box(span.fromS, span.toS, -circuit.restA);
  if (bootS === 0 || span.toS >= night.durationS || circuit.restA === 0) return;
  // capacitors fill, then the module boots before it sleeps again
  wave.decay(span.toS, span.toS + 1, chance.between(0.5, 8), chance.between(0.0005, 0.01));
  wave.box(span.toS, span.toS + bootS, chance.between(0.05, 0.6));
}

function note(marks: Mark[], label: string, kind: 'pull' | 'refit', atS: number, afterS: number | null): void {
  if (afterS !== null) marks.push({ timeS: Math.max(0, atS + afterS), kind, label });
}

export function changeOf(circuit: Circuit): Level {
  const polledA = circuit.poll === undefined ? 0 : (circuit.poll.heightA * circuit.poll.widthS) / circuit.poll.periodS;
  return { meanA: -circuit.restA - polledA, floorA: -circuit.restA };
}

/** What the pulls add to the label of the night: the table, what they stir, and what is left. */
export function pullLabel(night: ParkedNight, pulled: Pulled): Partial<NightLabel> {
  const sum = (of: (level: Level) => number): number => pulled.pulls.reduce((total, pull) => total + of(pull.change), 0);
  const left = { meanA: night.floorA + night.pollMeanA + sum((level) => level.meanA), floorA: night.floorA + sum((level) => level.floorA) };
  return {
    pulls: pulled.pulls,
    dips: pulled.outs.map((span) => ({ fromS: span.fromS - 30, toS: span.toS + 30 })),
    stirred: [...night.stirred, ...pulled.stirred],
    unexplained: { level: left, must: pulled.pulls.every((pull) => !pull.right.includes(null)) },
    averageA: null,
  };
}
