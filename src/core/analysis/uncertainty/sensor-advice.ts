import { SENSOR_PARTS, type SensorPart } from '../../reference/sensors.ts';
import { DEFAULT_DRAIN_LIMIT_A } from '../options.ts';
import type { TestKind } from '../results.ts';
import { ofLimits, ofStep, type Contribution } from './budget.ts';
import { NORMAL_95 } from './normal-95.ts';

/** What is to be measured. */
export interface MeasuringTask {
  readonly test: TestKind;
  /** the current to be proved, A */
  readonly currentA: number;
  /** the largest one that flows meanwhile, A */
  readonly mostA: number;
  /** how far the sensor may warm or cool since its zero was set, degrees */
  readonly temperatureChangeK: number;
  /** -3 dB bandwidth that is needed, Hz */
  readonly bandwidthHz: number;
  /** what the 95 % half-width may be, A */
  readonly allowedA: number;
}

export type AdviceReason = 'proves' | 'range' | 'uncertain' | 'slow' | 'unknown';
type SensorSource = 'gain' | 'temperature' | 'remanence' | 'resolution';

export interface SensorAdvice {
  readonly part: SensorPart;
  /** null: the datasheet page that was read does not say enough */
  readonly proves: boolean | null;
  readonly reasons: readonly AdviceReason[];
  /** 95 % half-width at the task's current, A, of what is known; more where something is unknown */
  readonly halfWidthA: number;
  readonly parts: readonly Contribution<SensorSource>[];
}

/** Shares of the current that its 95 % half-width may reach (common practice, no published source: a quarter against a limit, a tenth for a running current). */
const ALLOWED_SHARE: Readonly<Record<TestKind, number>> = { drain: 1 / 4, actuation: 1 / 10 };
/** Running current of a small motor, A, where none was given (Mitsubishi Lancer 2002, power window: 5 A). */
const RUNNING_A = 5;
/** Start over running current of a motor (common practice, no published source). */
const START_OVER_RUN = 5;
/** While its modules cycle down a vehicle draws several amperes (Chevrolet Optra 2009 GM manual); with a door or the boot opened, more. */
const AWAKE_A = 10;
/** A night outdoors, and the minutes of a motor test, degrees (common practice, no published source). */
export const TEMPERATURE_CHANGE_K: Readonly<Record<TestKind, number>> = { drain: 10, actuation: 2 };
/** A start is over within some 10 ms, its time constant 3.25 ms (maxon RE 65 data sheet): ten times the 49 Hz of that constant. Levels of a night need none. */
const BANDWIDTH_HZ: Readonly<Record<TestKind, number>> = { drain: 1, actuation: 500 };

/** Fills in what a person did not say. */
export function measuringTask(test: TestKind, given: { readonly currentA?: number; readonly mostA?: number; readonly temperatureChangeK?: number } = {}): MeasuringTask {
  const currentA = given.currentA ?? (test === 'drain' ? DEFAULT_DRAIN_LIMIT_A : RUNNING_A);
  return {
    test,
    currentA,
    mostA: given.mostA ?? (test === 'drain' ? Math.max(AWAKE_A, currentA) : START_OVER_RUN * currentA),
    temperatureChangeK: given.temperatureChangeK ?? TEMPERATURE_CHANGE_K[test],
    bandwidthHz: BANDWIDTH_HZ[test],
    allowedA: ALLOWED_SHARE[test] * currentA,
  };
}

/** Which sensor of the table can prove the current and which cannot, those that can first. Every one is taken as zeroed before the test. */
export function sensorAdvice(task: MeasuringTask, parts: readonly SensorPart[] = SENSOR_PARTS): SensorAdvice[] {
  const order = (proves: boolean | null): number => (proves === true ? 0 : proves === null ? 1 : 2);
  return parts.map((part) => adviceOn(part, task)).sort((a, b) => order(a.proves) - order(b.proves) || a.halfWidthA - b.halfWidthA);
}

function adviceOn(part: SensorPart, { currentA, mostA, temperatureChangeK, bandwidthHz, allowedA }: MeasuringTask): SensorAdvice {
  const known: [SensorSource, number | null][] = [
    ['gain', ofLimits((currentA * part.gainLimitPercent) / 100)],
    ['temperature', part.zeroDriftAPerK === null ? null : ofLimits(part.zeroDriftAPerK * temperatureChangeK)],
    ['remanence', part.remanenceA === null ? null : ofLimits(part.remanenceA)],
    ['resolution', part.stepA === null ? 0 : ofStep(part.stepA)],
  ];
  const contributions = known.flatMap(([source, contribution]) => (contribution === null ? [] : [{ source, contribution }])).sort((a, b) => b.contribution - a.contribution);
  const halfWidthA = NORMAL_95 * Math.hypot(...contributions.map(({ contribution }) => contribution));
  const against: AdviceReason[] = [];
  if (mostA > part.rangeA) against.push('range');
  if (halfWidthA > allowedA) against.push('uncertain');
  if (part.bandwidthHz !== null && part.bandwidthHz < bandwidthHz) against.push('slow');
  const unknown = contributions.length < known.length || part.bandwidthHz === null;
  const proves = against.length > 0 ? false : unknown ? null : true;
  return { part, proves, reasons: proves === true ? ['proves'] : proves === null ? ['unknown'] : against, halfWidthA, parts: contributions };
}
