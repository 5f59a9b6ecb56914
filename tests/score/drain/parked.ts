import type { Mark } from '../../../src/core/trace.ts';
import type { Dice } from './dice.ts';

/** A current added over a stretch of time; after its end it may run out with a time constant. Tied to a fuse, or to none. */
export interface Draw {
  readonly fromS: number;
  readonly toS: number;
  readonly currentA: number;
  readonly tailS: number;
  readonly fuse: string | null;
}

export interface Outage {
  readonly fuse: string;
  readonly fromS: number;
  readonly toS: number;
}

export type Kind = 'asleep' | 'drain' | 'awake' | 'waking' | 'too-short';

/** A parked vehicle as a list of draws and outages, with what a perfect reader would say. */
export interface Parked {
  readonly kind: Kind;
  /** what a careful person may say: more than one where the vehicle alone does not decide */
  readonly findings: readonly Kind[];
  readonly lengthS: number;
  readonly draws: readonly Draw[];
  readonly outages: readonly Outage[];
  readonly marks: readonly Mark[];
  readonly asleepAtS: number | null;
  readonly levelA: number | null;
  readonly wakes: readonly { readonly startS: number; readonly endS: number }[];
  readonly periodS: number | null;
  /** each pull: what its fuse carried at rest */
  readonly pulls: readonly { readonly label: string; readonly atS: number; readonly carriedA: number }[];
  /** the fuse with the fault, when it was pulled */
  readonly culprit: string | null;
  readonly shared: boolean;
}

interface Draft {
  draws: Draw[];
  outages: Outage[];
  marks: Mark[];
  wakes: { startS: number; endS: number }[];
  pulls: { label: string; atS: number; carriedA: number }[];
}

/** The longest wait that a maker publishes before a parked vehicle is measured (tests/score/definitions.md). */
export const LONGEST_TIME_OUT_S = 75 * 60;

/** More than this above the sleeping level is not asleep yet, A. */
export const STILL_UP_A = 0.004;

export function parkedVehicle(dice: Dice, kind: Kind): Parked {
  const draft: Draft = { draws: [], outages: [], marks: [], wakes: [], pulls: [] };
  const fuses = Array.from({ length: dice.whole(3, 8) }, (_, i) => `F${2 * i + dice.whole(1, 2)}`);
  const carried = new Map<string, number>();
  const restTotalA = dice.scaled(0.006, 0.042);
  const weights = fuses.map(() => dice.scaled(0.05, 1));
  const weightSum = weights.reduce((sum, weight) => sum + weight, 0);
  fuses.forEach((fuse, i) => carried.set(fuse, dice.chance(0.2) ? 0 : (restTotalA * weights[i]) / weightSum));
  const asleepFromStart = kind !== 'awake' && kind !== 'too-short' && dice.chance(0.12);
  const longestTimeOutS = asleepFromStart ? 0 : kind === 'too-short' ? dice.between(900, 2400) : dice.chance(0.15) ? dice.between(1200, 2700) : dice.scaled(60, 1300);
  const byWakes = kind === 'drain' && dice.chance(0.2);
  let faultFuses: string[] = [];
  if (kind === 'drain' && !byWakes) {
    faultFuses = dice.chance(0.15) ? [fuses[0], fuses[1]] : [dice.pick(fuses)];
    const faultA = dice.scaled(0.07, 0.42);
    const share = faultFuses.length === 1 ? 1 : dice.between(0.35, 0.65);
    faultFuses.forEach((fuse, i) => carried.set(fuse, (carried.get(fuse) ?? 0) + faultA * (i === 0 ? share : 1 - share)));
  }
  for (const [fuse, currentA] of carried) if (currentA > 0) draft.draws.push({ fromS: -1, toS: Infinity, currentA, tailS: 0, fuse });
  const levelA = [...carried.values()].reduce((sum, value) => sum + value, 0);
  if (kind === 'awake') return awakeVehicle(dice, draft, fuses, levelA);
  timeOuts(dice, draft, fuses, longestTimeOutS);
  if (kind === 'too-short') return { ...finish(draft, kind, longestTimeOutS * dice.between(0.25, 0.85)), asleepAtS: null, levelA: null, periodS: null, culprit: null, shared: false };
  const asleepAtS = restMoment(draft, longestTimeOutS);
  const restS = dice.scaled(240, 6 * 3600);
  const withPulls = kind !== 'waking' && dice.chance(kind === 'drain' ? 0.6 : 0.25);
  let atS = asleepAtS + (withPulls ? Math.min(restS, dice.between(120, 1500)) : restS);
  const period = wakesOf(dice, kind, byWakes, levelA, atS - asleepAtS);
  const wakeFuse = dice.pick(fuses);
  let periodS: number | null = null;
  const quietUntilS = atS;
  if (withPulls) atS = pullFuses(dice, draft, fuses, carried, faultFuses, atS);
  const lengthS = Math.max(atS + dice.between(20, 60), 600);
  if (period !== null) periodS = addWakes(dice, draft, wakeFuse, period, asleepAtS, withPulls ? quietUntilS : lengthS);
  if (!withPulls && dice.chance(0.12)) personWakes(dice, draft, asleepAtS, lengthS);
  draft.wakes.sort((a, b) => a.startS - b.startS);
  const culprit = faultFuses.length === 1 && draft.pulls.some((pull) => pull.label === faultFuses[0]) ? faultFuses[0] : null;
  const findings: Kind[] = byWakes ? ['waking'] : [kind];
  // above the limit, and the longest published time-out is not over: it may still fall
  if (kind === 'drain' && !byWakes && lengthS < LONGEST_TIME_OUT_S + 600) findings.push('too-short');
  return { ...finish(draft, kind, lengthS), findings, asleepAtS, levelA, periodS, culprit, shared: faultFuses.length > 1 && withPulls };
}

function finish(draft: Draft, kind: Kind, lengthS: number): Pick<Parked, 'kind' | 'findings' | 'lengthS' | 'draws' | 'outages' | 'marks' | 'wakes' | 'pulls'> {
  draft.marks.sort((a, b) => a.timeS - b.timeS);
  draft.wakes.sort((a, b) => a.startS - b.startS);
  const wakes: Draft['wakes'] = [];
  for (const wake of draft.wakes) {
    const last = wakes[wakes.length - 1];
    if (last !== undefined && wake.startS < last.endS + 1) last.endS = Math.max(last.endS, wake.endS);
    else wakes.push({ ...wake });
  }
  return { kind, findings: [kind], lengthS, ...draft, wakes };
}

function awakeVehicle(dice: Dice, draft: Draft, fuses: readonly string[], levelA: number): Parked {
  draft.draws.push({ fromS: -1, toS: Infinity, currentA: dice.scaled(0.7, 4) - Math.min(0.05, levelA), tailS: 0, fuse: dice.pick(fuses) });
  if (dice.chance(0.6)) draft.draws.push({ fromS: -1, toS: dice.between(20, 500), currentA: dice.scaled(0.2, 3), tailS: 0, fuse: null });
  const lengthS = dice.scaled(1900, 5 * 3600);
  for (let i = dice.whole(0, 4); i > 0; i--) {
    const fromS = dice.between(0, lengthS);
    draft.draws.push({ fromS, toS: fromS + dice.scaled(5, 200), currentA: dice.scaled(0.1, 2), tailS: 0, fuse: null });
  }
  const findings: Kind[] = lengthS < LONGEST_TIME_OUT_S + 600 ? ['awake', 'drain', 'too-short'] : ['awake', 'drain'];
  return { ...finish(draft, 'awake', lengthS), findings, asleepAtS: null, levelA: null, periodS: null, culprit: null, shared: false };
}

/** Modules drop out one after the other; the last at `lastS`. */
function timeOuts(dice: Dice, draft: Draft, fuses: readonly string[], lastS: number): void {
  if (lastS === 0) return;
  const count = dice.whole(1, 5);
  for (let i = 0; i < count; i++) {
    const toS = i === 0 ? lastS : lastS * dice.between(0.02, 0.9);
    const tailS = dice.chance(0.2) ? dice.scaled(0.3, 3) : 0;
    draft.draws.push({ fromS: -1, toS, currentA: i === 0 ? dice.scaled(0.03, 1) : dice.scaled(0.02, 2.5), tailS, fuse: dice.pick(fuses) });
  }
}

function restMoment(draft: Draft, lastS: number): number {
  if (lastS === 0) return 0;
  let atS = 0;
  for (const draw of draft.draws) {
    if (draw.toS === Infinity) continue;
    atS = Math.max(atS, draw.toS + (draw.tailS > 0 ? draw.tailS * Math.log(Math.max(1, draw.currentA / STILL_UP_A)) : 0));
  }
  return atS;
}

interface WakePlan {
  readonly everyS: number;
  readonly forS: number;
  readonly currentA: number;
  readonly jitter: number;
}

function wakesOf(dice: Dice, kind: Kind, byWakes: boolean, levelA: number, roomS: number): WakePlan | null {
  if (kind === 'waking') return { everyS: dice.between(30, 100), forS: dice.between(25, 90), currentA: dice.scaled(0.15, 1.5), jitter: 0.3 };
  if (byWakes) {
    const everyS = Math.min(roomS / 3, dice.between(240, 900));
    const forS = everyS * dice.between(0.1, 0.3);
    return { everyS, forS, currentA: ((0.06 + dice.between(0, 0.1) - Math.min(0.045, levelA)) * everyS) / forS, jitter: 0.01 };
  }
  if (!dice.chance(0.6)) return null;
  const everyS = dice.scaled(Math.min(120, roomS / 3), Math.min(1300, roomS / 2));
  const forS = Math.min(everyS * 0.15, dice.scaled(3, 60));
  const headroomA = kind === 'asleep' ? Math.max(0.002, 0.8 * (0.048 - levelA)) : 0.05;
  const currentA = Math.min(dice.scaled(0.03, 0.5), (headroomA * everyS) / forS);
  return currentA < 0.02 ? null : { everyS, forS, currentA, jitter: dice.chance(0.25) ? 0.6 : dice.scaled(0.001, 0.02) };
}

/** Returns the period when the waking is regular and seen often enough. */
function addWakes(dice: Dice, draft: Draft, fuse: string, plan: WakePlan, fromS: number, toS: number): number | null {
  const firstS = fromS + plan.everyS * dice.between(0.3, 1);
  let count = 0;
  const waking = plan.jitter === 0.3;
  for (let beatS = firstS, k = 0; beatS < toS - 8; k++) {
    const forS = plan.forS * (waking ? dice.between(0.6, 1.4) : dice.between(0.9, 1.1));
    const startS = waking ? beatS : Math.max(fromS + 5, beatS + plan.everyS * plan.jitter * dice.between(-0.5, 0.5));
    const endS = Math.min(startS + forS, toS);
    draft.draws.push({ fromS: startS, toS: endS, currentA: plan.currentA, tailS: 0, fuse });
    if (dice.chance(0.3)) draft.draws.push({ fromS: startS, toS: startS + forS * 0.2, currentA: plan.currentA, tailS: 0, fuse });
    draft.wakes.push({ startS, endS });
    count++;
    beatS += waking ? forS + plan.everyS * dice.between(0.5, 1.3) : plan.everyS;
  }
  return plan.jitter <= 0.02 && count >= 3 ? plan.everyS : null;
}

function personWakes(dice: Dice, draft: Draft, fromS: number, toS: number): void {
  const startS = dice.between(fromS + 30, Math.max(fromS + 31, toS - 100));
  const endS = Math.min(toS, startS + dice.between(15, 90));
  draft.draws.push({ fromS: startS, toS: endS, currentA: dice.scaled(0.3, 2), tailS: 0, fuse: null });
  draft.wakes.push({ startS, endS });
  draft.marks.push({ timeS: Math.max(0, startS + dice.between(-4, 4)), kind: 'wake', label: 'door' });
}

/** Pulls some fuses in turn from `fromS` on; returns when the last is done. */
function pullFuses(dice: Dice, draft: Draft, fuses: readonly string[], carried: ReadonlyMap<string, number>, faults: readonly string[], fromS: number): number {
  const chosen = fuses.filter((fuse) => faults.includes(fuse) || dice.chance(0.6)).sort(() => dice.unit() - 0.5);
  if (chosen.length === 0) chosen.push(fuses[0]);
  const refits = dice.chance(0.5);
  const lateS = dice.chance(0.3) ? 0.5 : dice.between(1, 6);
  let atS = fromS + 15;
  for (const label of chosen) {
    draft.pulls.push({ label, atS, carriedA: carried.get(label) ?? 0 });
    draft.marks.push({ timeS: Math.max(0, atS + dice.between(-lateS, lateS)), kind: 'pull', label });
    blip(dice, draft, label, atS);
    const caused = dice.chance(0.15) ? causedWake(dice, draft, atS) : 0;
    const backS = atS + caused + dice.between(20, 90);
    if (refits) {
      draft.outages.push({ fuse: label, fromS: atS, toS: backS });
      draft.marks.push({ timeS: backS + dice.between(-lateS, lateS), kind: 'refit', label });
      blip(dice, draft, label, backS);
      const again = dice.chance(0.3) ? causedWake(dice, draft, backS) : 0;
      atS = backS + again + dice.between(20, 90);
    } else {
      draft.outages.push({ fuse: label, fromS: atS, toS: Infinity });
      atS = backS;
    }
  }
  return atS;
}

function blip(dice: Dice, draft: Draft, label: string, atS: number): void {
  if (!dice.chance(0.6)) return;
  const forS = dice.scaled(0.1, 3);
  const currentA = dice.chance(0.5) ? dice.scaled(0.02, 1) : -dice.scaled(0.02, 0.3);
  draft.draws.push({ fromS: atS, toS: atS + forS, currentA, tailS: 0, fuse: null });
  if (dice.chance(0.3)) draft.outages.push({ fuse: label, fromS: atS - dice.between(0.5, 1.5), toS: atS - 0.2 });
}

function causedWake(dice: Dice, draft: Draft, atS: number): number {
  const startS = atS + dice.between(0, 1);
  const forS = dice.scaled(5, 40);
  draft.draws.push({ fromS: startS, toS: startS + forS, currentA: dice.scaled(0.05, 1), tailS: 0, fuse: null });
  draft.wakes.push({ startS, endS: startS + forS });
  return forS;
}
