import { isFindingOf, type ActuationVerdictFinding, type DrainFinding, type Finding } from '../analysis/findings.ts';
import { SUSPECT } from '../analysis/motor/settings.ts';
import { FEWEST_WAKE_UPS } from '../analysis/night/settings.ts';
import type { TestKind } from '../analysis/results.ts';
import { language } from '../present/language.ts';
import type { SeenInTrace } from './case.ts';
import type { ObservationCode } from './table/table.ts';

/**
 * The part of an `analyse --json` document that the reasoning reads; all but the finding may be missing, as older and other people's documents do.
 * `uncoupled`: the motor ran alone, the mechanism was taken off.
 */
export interface ResultFacts {
  readonly test: TestKind;
  readonly finding: Finding;
  readonly said: string;
  readonly basis: string | null;
  readonly uncoupled: boolean;
  readonly voltageAt: 'motor' | 'battery' | null;
  readonly presses: readonly PressFacts[];
  /** forward over reverse; null when one direction only */
  readonly runRatio: number | null;
  readonly drain: DrainFacts | null;
}

export interface PressFacts {
  readonly cutOut: boolean;
  readonly lowCommutation: boolean;
  readonly beats: boolean;
  /** running current as a share of the stall current; null where the trace does not show it */
  readonly loadShare: number | null;
  /** share of the open volts left under load; null without a voltage channel */
  readonly voltsShare: number | null;
}

export interface DrainFacts {
  readonly asleepA: number | null;
  readonly limitA: number;
  readonly overLimit: boolean | null;
  readonly wakeUps: number;
  /** only pulls whose carrying is known */
  readonly pulls: readonly DrainPull[];
}

export interface DrainPull {
  readonly label: string;
  readonly carries: boolean;
  /** bounds of what it carries; null where the document does not give them */
  readonly carriedA: { readonly lowA: number; readonly highA: number } | null;
}

/** With this share of the open volts at its feed a motor is fed (common practice, no published source). */
const FULL_VOLTS_SHARE = 0.8;
/** So many fuses pulled without a change say that the drain lies before them (common practice, no published source). */
const ENOUGH_PULLS = 3;

/** What one document says; empty where it says nothing about causes. */
export function observeResult(result: ResultFacts, trace: string): SeenInTrace[] {
  return codesOf(result).map((observation) => ({ observation, trace, said: (observation === 'fuse-carries' ? largestFuse(result.drain?.pulls ?? []) : null) ?? result.said }));
}

/** The fuse that carries most, in words; null where no document says how much. */
function largestFuse(pulls: readonly DrainPull[]): string | null {
  const [most] = pulls.flatMap(({ label, carries, carriedA }) => (carries && carriedA !== null ? [{ label, ...carriedA }] : [])).sort((a, b) => b.lowA - a.lowA);
  return most === undefined ? null : language.reason.read.fuseCarries(most.label, most.lowA, most.highA);
}

function codesOf(result: ResultFacts): ObservationCode[] {
  const { finding, drain } = result;
  if (result.test === 'drain') return isFindingOf(finding, 'drain') ? drainCodes(finding, drain) : [];
  if (!isFindingOf(finding, 'actuation')) return [];
  return result.uncoupled ? aloneCodes(finding) : motorCodes(finding, result);
}

function motorCodes(finding: ActuationVerdictFinding, result: ResultFacts): ObservationCode[] {
  const { presses } = result;
  switch (finding) {
    case 'normal':
      if (result.basis === 'limits' || result.basis === 'known-good') return ['ran-within-limits'];
      return [result.basis === 'itself' ? 'ran-with-a-usual-load' : 'ran'];
    case 'suspect':
      return [suspicionOf(result)];
    case 'stalled':
      return [presses.some(({ cutOut }) => cutOut) ? 'stalled-then-cut-out' : 'stalled'];
    case 'locked': {
      const fed = result.voltageAt === 'motor' && presses.length > 0 && presses.every(({ voltsShare }) => voltsShare !== null && voltsShare >= FULL_VOLTS_SHARE);
      return [fed ? 'locked-on-full-volts' : 'locked'];
    }
    case 'starved':
      return [result.voltageAt === 'battery' ? 'starved-at-battery' : 'starved'];
    case 'heavy':
    case 'light':
    case 'intermittent':
    case 'dead':
    case 'unpowered':
      return [finding];
    case 'unclear':
      return [];
  }
}

/** What it was that spoke against a motor that ran and stopped, the plainest first. */
function suspicionOf({ presses, runRatio }: ResultFacts): ObservationCode {
  if (presses.some(({ lowCommutation }) => lowCommutation)) return 'low-commutation';
  const most = (of: (press: PressFacts) => boolean): boolean => presses.filter(of).length * 2 > presses.length;
  if (most(({ loadShare }) => loadShare !== null && loadShare < SUSPECT.freeShare)) return 'hardly-any-load';
  if (most(({ loadShare }) => loadShare !== null && loadShare > SUSPECT.hardShare)) return 'hard-work';
  if (most(({ beats }) => beats)) return 'tight-once-a-turn';
  return runRatio !== null && Math.max(runRatio, 1 / runRatio) >= SUSPECT.oneWay ? 'harder-one-way' : 'ran-suspect';
}

function aloneCodes(finding: ActuationVerdictFinding): ObservationCode[] {
  switch (finding) {
    case 'normal':
    case 'light':
    case 'suspect':
      return ['alone-runs'];
    case 'locked':
    case 'stalled':
      return ['alone-stands'];
    case 'heavy':
      return ['alone-heavy'];
    case 'dead':
    case 'unpowered':
    case 'starved':
    case 'intermittent':
      return [finding];
    case 'unclear':
      return [];
  }
}

function drainCodes(finding: DrainFinding, drain: DrainFacts | null): ObservationCode[] {
  const under = drain !== null && drain.asleepA !== null && drain.asleepA <= drain.limitA;
  const codes: ObservationCode[] = [];
  switch (finding) {
    case 'asleep':
      if (drain?.overLimit === null) return [];
      codes.push((drain?.wakeUps ?? 0) >= FEWEST_WAKE_UPS ? 'asleep-but-wakes' : 'asleep');
      break;
    case 'drain':
      codes.push(under ? 'drain-by-waking' : 'steady-drain');
      break;
    case 'waking':
      codes.push(under ? 'drain-by-waking' : 'keeps-waking');
      break;
    case 'awake':
      codes.push('still-awake');
      break;
    case 'too-short':
    case 'unclear':
      return [];
  }
  const pulls = drain?.pulls ?? [];
  if (finding === 'asleep' || under) return codes;
  if (pulls.some(({ carries }) => carries)) codes.push('fuse-carries');
  else if (pulls.length >= ENOUGH_PULLS) codes.push('no-fuse-carries');
  return codes;
}
