import { CLAMP, DRAIN, MONITOR, MOTOR, PIN } from './values.ts';

/**
 * What a vehicle's supply does to a lead that is clipped to it. Volts are those at the clip against battery minus, the source's own
 * resistance left out (that makes every current here an upper bound). Durations: of the pulse, or its decay to a tenth.
 */
interface Stress {
  readonly name: string;
  readonly v12: number;
  readonly v24: number;
  readonly durationS: readonly [number, number];
  /** decays exponentially to a tenth in that time, or lasts for that time */
  readonly shape: 'decay' | 'steady';
  readonly source: string;
}

/** Level IV of ISO 7637-2:2011 on top of 13.5 V or 27 V where the standard adds them; ISO 16750-2 gives load dump as a whole. */
export const STRESSES: readonly Stress[] = [
  { name: 'load dump, test A', v12: 101, v24: 202, durationS: [0.4, 0.35], shape: 'decay', source: 'ISO 16750-2 (published numbers 8)' },
  { name: 'jump start; regulator failed', v12: 24, v24: 36, durationS: [60, 3600], shape: 'steady', source: 'ISO 16750-2 (from memory)' },
  { name: 'clips reversed', v12: -14, v24: -28, durationS: [60, 60], shape: 'steady', source: 'ISO 16750-2 (from memory)' },
  { name: 'pulse 1', v12: -150, v24: -600, durationS: [2e-3, 1e-3], shape: 'decay', source: 'ISO 7637-2 (from memory)' },
  { name: 'pulse 2a', v12: 13.5 + 112, v24: 27 + 112, durationS: [50e-6, 50e-6], shape: 'decay', source: 'ISO 7637-2 (from memory)' },
  { name: 'pulse 2b', v12: 10, v24: 20, durationS: [2, 2], shape: 'decay', source: 'ISO 7637-2 (from memory)' },
  { name: 'pulse 3a', v12: 13.5 - 220, v24: 27 - 300, durationS: [150e-9, 150e-9], shape: 'decay', source: 'ISO 7637-2 (from memory)' },
  { name: 'pulse 3b', v12: 13.5 + 150, v24: 27 + 300, durationS: [150e-9, 150e-9], shape: 'decay', source: 'ISO 7637-2 (from memory)' },
];

interface PinStress {
  /** current through the series resistor, A */
  readonly currentA: number;
  /** where the clamp holds the node, V */
  readonly nodeV: number;
  /** heat in the series resistor over the whole stress, J, or its power in steady state, W */
  readonly heat: number;
}

/** Heat in a resistor, an upper bound: what lies across it decays at least as fast as the pulse, and its square in half that time. */
function heatOf(sourceV: number, nodeV: number, ohm: number, durationS: number, shape: Stress['shape']): number {
  const across = sourceV - nodeV;
  if (shape === 'steady') return across ** 2 / ohm;
  return ((across ** 2 / ohm) * (durationS / Math.log(10))) / 2;
}

/** A pin between two clamp diodes behind a resistor. */
export function clampedPin(sourceV: number, ohm: number, durationS: number, shape: Stress['shape']): PinStress {
  const nodeV = Math.min(PIN.highestV, Math.max(PIN.lowestV, sourceV));
  return { currentA: (sourceV - nodeV) / ohm, nodeV, heat: heatOf(sourceV, nodeV, ohm, durationS, shape) };
}

export const DIVIDER_TOP_OHM = MOTOR.r4Ohm + MOTOR.r5Ohm;

/** A1: the divider's top alone limits the current; the 15 kΩ below only takes some of it away. */
export function voltagePin(sourceV: number, durationS: number, shape: Stress['shape']): PinStress {
  const divided = (sourceV * MOTOR.r6Ohm) / (DIVIDER_TOP_OHM + MOTOR.r6Ohm);
  if (divided <= PIN.highestV && divided >= PIN.lowestV) return { currentA: sourceV / (DIVIDER_TOP_OHM + MOTOR.r6Ohm), nodeV: divided, heat: heatOf(sourceV, divided, DIVIDER_TOP_OHM, durationS, shape) };
  return clampedPin(sourceV, DIVIDER_TOP_OHM, durationS, shape);
}

/**
 * Bus node of the drain logger, the worst of the suppressor's tolerance each time: volts with the highest breakdown and the slope up to the
 * clamping point, current and heat with the lowest.
 */
export function busNode(sourceV: number, durationS: number, shape: Stress['shape']): PinStress {
  const { lowestV, highestV, clampV, clampA, forwardV } = DRAIN.suppressor;
  const slopeOhm = (clampV - highestV) / clampA;
  let nodeV = sourceV;
  if (sourceV < -forwardV) nodeV = -forwardV;
  else if (sourceV > highestV) nodeV = highestV + ((sourceV - highestV) / (DRAIN.r24Ohm + slopeOhm)) * slopeOhm;
  const heldV = sourceV > lowestV ? lowestV : nodeV;
  return { currentA: (sourceV - heldV) / DRAIN.r24Ohm, nodeV, heat: heatOf(sourceV, heldV, DRAIN.r24Ohm, durationS, shape) };
}

/** What a bus pin's own diode carries when the node lies below ground: behind 220 Ω, less the diode's 0.6 V. */
export function busPinBelowGroundA(nodeV: number): number {
  return Math.max(0, (-nodeV - DRAIN.diodeV) / DRAIN.r25Ohm);
}

/** Gate resistor of the bypass, from the bus node (held by the suppressor) to the zener. */
export function gateCurrentA(nodeV: number): number {
  return Math.max(0, (nodeV - DRAIN.diodeV - DRAIN.zenerV) / DRAIN.r10Ohm);
}

/** Inputs that touch the vehicle only by mistake. */
export const MISTAKES = [
  { input: 'A0, sensor lead', ohm: MOTOR.r2Ohm, limitA: null },
  { input: 'clamp front end', ohm: CLAMP.inputOhm, limitA: CLAMP.inputLimitA },
] as const;

export const BUS_LIMITS = { highestV: MONITOR.busLimitV, pinA: MONITOR.pinLimitA };
