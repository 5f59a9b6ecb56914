import type { Chance } from './chance.ts';
import type { Span, TrueWakeup } from './types.ts';
import { Wave } from './wave.ts';

/** One control unit: awake until its time-out after the last thing that stirred it, then asleep for good. */
export interface Module {
  readonly awakeA: number;
  readonly sleepA: number;
  readonly timeoutS: number;
  /** how much its current moves while awake (bus traffic), relative to awakeA */
  readonly stir: number;
}

export interface Poll {
  readonly periodS: number;
  readonly widthS: number;
  readonly heightA: number;
  /** standard deviation of each interval, relative to the period */
  readonly jitter: number;
}

export interface WakeShape {
  readonly burstA: number;
  readonly burstS: number;
  readonly tailA: number;
  readonly tailS: number;
}

/** A stretch at rest: it begins between `earliestS` (only trifles still awake) and `beginS` (nothing awake any more). */
export interface Rest {
  readonly earliestS: number;
  readonly beginS: number;
  readonly endS: number;
}

/**
 * A vehicle parked at `keyOffS`, seen from the battery. The parts are said one after another; `finish` draws the modules. What is
 * true of it is kept beside the current, never read back from it.
 */
export class ParkedNight {
  readonly chance: Chance;
  readonly durationS: number;
  readonly modules: readonly Module[];
  readonly keyOffS: number;
  readonly wave: Wave;
  readonly wakeups: TrueWakeup[] = [];
  readonly stirred: Span[] = [];
  /** what flows for good while all sleep, without the polls */
  floorA = 0;
  pollMeanA = 0;
  private readonly awake: Span[][];
  private readonly loads: (Span & { ampsA: number })[] = [];

  constructor(chance: Chance, durationS: number, rateHz: number, modules: readonly Module[], keyOffS = 0) {
    this.chance = chance;
    this.durationS = durationS;
    this.modules = modules;
    this.keyOffS = keyOffS;
    this.wave = new Wave(durationS, rateHz);
    this.awake = modules.map((module) => [{ fromS: Math.min(0, keyOffS), toS: keyOffS + module.timeoutS }]);
    for (const module of modules) this.constant(module.sleepA);
  }

  /** a current that never stops: a part of the floor */
  constant(ampsA: number): void {
    this.floorA += ampsA;
    this.wave.box(0, this.durationS, ampsA);
  }

  /** pulses of a module that looks for its key, its sensor or its bus while all else sleeps; none while its fuse is out */
  poll(poll: Poll, out: readonly Span[] = [], fromS = 0): void {
    this.pollMeanA += (poll.heightA * poll.widthS) / poll.periodS;
    let atS = fromS + this.chance.between(0, poll.periodS);
    while (atS < this.durationS) {
      const nowS = atS;
      if (!out.some((span) => nowS >= span.fromS && nowS < span.toS)) this.wave.box(atS, atS + poll.widthS, poll.heightA);
      atS += Math.max(poll.widthS * 1.5, poll.periodS * (1 + this.chance.normal(poll.jitter)));
    }
  }

  /** a load that is on for a while and is not rest: a lamp, a fan, a phone on charge */
  load(fromS: number, toS: number, ampsA: number): void {
    this.loads.push({ fromS, toS, ampsA });
    this.wave.box(fromS, toS, ampsA);
  }

  /** a bulb: ten times its current while cold, for some tens of milliseconds */
  lamp(fromS: number, toS: number, ampsA: number): void {
    this.load(fromS, toS, ampsA);
    this.wave.decay(fromS, toS, ampsA * this.chance.between(6, 10), this.chance.between(0.015, 0.06));
  }

  /** a module that wakes by itself and goes back to sleep */
  wakeup(atS: number, shape: WakeShape): void {
    const toS = atS + shape.burstS + shape.tailS;
    if (toS >= this.durationS) return;
    this.wave.box(atS, atS + shape.burstS, shape.burstA);
    this.wave.box(atS + shape.burstS, toS, shape.tailA);
    this.wakeups.push({ fromS: atS, toS, peakA: Math.max(shape.burstA, shape.tailA) });
  }

  /** modules that are stirred for `forS` and then count down their time-outs again */
  stir(atS: number, forS: number, which: (module: Module) => boolean = () => true): number {
    let lastS = atS + forS;
    this.modules.forEach((module, index) => {
      if (!which(module)) return;
      const toS = atS + forS + module.timeoutS;
      this.awake[index]!.push({ fromS: atS, toS });
      lastS = Math.max(lastS, toS);
    });
    this.stirred.push({ fromS: atS, toS: lastS });
    return lastS;
  }

  /** somebody opens a door: the lamp's step, a burst of locks and displays, then the same time-outs again */
  door(atS: number, openS: number, lampA: number): void {
    this.lamp(atS, atS + openS, lampA);
    this.wave.box(atS, atS + this.chance.between(0.3, 2), this.chance.between(1, 5));
    this.stir(atS, openS);
  }

  /** a module kept up to the end of the recording */
  keepAwake(index: number, fromS: number, toS: number): void {
    this.awake[index]!.push({ fromS, toS });
  }

  /** draws the modules; call it once, after everything that stirs them */
  finish(): void {
    this.modules.forEach((module, index) => {
      for (const span of merged(this.awake[index]!)) this.drawAwake(module, span);
    });
  }

  /** stretches after key-off in which nothing is awake, with the moment from which no more than a trifle was */
  rests(): Rest[] {
    const trifleA = Math.max(0.002, 0.1 * (this.floorA + this.pollMeanA));
    const busy: (Span & { ampsA: number })[] = this.loads.map((load) => ({ ...load }));
    this.modules.forEach((module, index) => {
      for (const span of merged(this.awake[index]!)) busy.push({ ...span, ampsA: module.awakeA - module.sleepA });
    });
    const edges = [...new Set([this.keyOffS, this.durationS, ...busy.flatMap((span) => [span.fromS, span.toS])])]
      .filter((atS) => atS >= this.keyOffS && atS <= this.durationS)
      .sort((left, right) => left - right);
    const rests: Rest[] = [];
    let triflingSinceS: number | null = null;
    for (let i = 0; i + 1 < edges.length; i++) {
      const middleS = (edges[i]! + edges[i + 1]!) / 2;
      let excessA = 0;
      for (const span of busy) if (span.fromS <= middleS && middleS < span.toS) excessA += Math.abs(span.ampsA);
      triflingSinceS = excessA <= trifleA ? (triflingSinceS ?? edges[i]!) : null;
      if (excessA > 1e-9) continue;
      rests.push({ earliestS: triflingSinceS!, beginS: edges[i]!, endS: edges[i + 1]! });
    }
    return rests;
  }

  private drawAwake(module: Module, span: Span): void {
    const extraA = module.awakeA - module.sleepA;
    this.wave.box(span.fromS, span.toS, extraA);
    if (span.fromS > 0) this.wave.decay(span.fromS, span.toS, extraA * this.chance.between(0.5, 3), this.chance.between(0.002, 0.05));
    if (module.stir === 0) return;
    let atS = span.fromS;
    while (atS < Math.min(span.toS, this.durationS)) {
      const forS = this.chance.logBetween(0.2, 4);
      this.wave.box(atS, Math.min(atS + forS, span.toS), extraA * this.chance.normal(module.stir));
      atS += forS * this.chance.between(1, 3);
    }
  }
}

function merged(spans: readonly Span[]): Span[] {
  const sorted = [...spans].sort((left, right) => left.fromS - right.fromS);
  const out: { fromS: number; toS: number }[] = [];
  for (const span of sorted) {
    const last = out.at(-1);
    if (last !== undefined && span.fromS <= last.toS) last.toS = Math.max(last.toS, span.toS);
    else out.push({ ...span });
  }
  return out;
}
