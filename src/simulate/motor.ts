import { ripplesPerRevolution } from '../core/reference/motor.ts';

/**
 * A brushed DC motor by its differential equations (any text on electrical drives):
 *   L di/dt = v - R i - k w        J dw/dt = k i - b w - friction
 * integrated with the classical Runge-Kutta rule of fourth order. Dry friction holds the shaft still until the torque overcomes it,
 * and stops it exactly at zero speed, so a stalled motor stays at rest instead of trembling.
 */
export interface MotorParameters {
  readonly resistanceOhm: number;
  readonly inductanceH: number;
  /** torque per ampere, and in SI the same number of volts per rad/s */
  readonly torqueConstantNmPerA: number;
  /** rotor, plus what it drives as felt at the shaft */
  readonly inertiaKgM2: number;
  readonly viscousNmSPerRad: number;
  readonly dryFrictionNm: number;
  readonly brushes: number;
  readonly segments: number;
  /** peak-to-peak change of k in each commutation, as a share of k; a few percent in small motors */
  readonly rippleDepth: number;
  /** added resistance in one of the commutations of each revolution: a burnt or high segment; 0 = sound */
  readonly badSegmentOhm: number;
}

export interface MotorState {
  currentA: number;
  speedRadPerS: number;
  angleRad: number;
}

/** What is connected to the two motor leads during a step. */
export interface MotorDrive {
  /** open-circuit voltage of what feeds the motor, signed; 0 when its leads are shorted */
  emfV: number;
  /** everything in series with the armature */
  loopOhm: number;
  /** torque needed to keep turning against, always opposing the motion, beyond the motor's own friction */
  loadNm: number;
  /** torque needed to start turning */
  breakawayNm: number;
}

/** Longest step for which the rule is stable and accurate here: a small part of the electrical time constant, and at most 50 us. */
export function longestStepS(motor: MotorParameters, loopOhm: number): number {
  return Math.min(50e-6, (0.25 * motor.inductanceH) / (motor.resistanceOhm + loopOhm));
}

/** Advances `state` by `stepS` under a constant drive. */
export function stepMotor(state: MotorState, motor: MotorParameters, drive: MotorDrive, stepS: number): void {
  const { inductanceH, inertiaKgM2, viscousNmSPerRad, torqueConstantNmPerA } = motor;
  const i0 = state.currentA;
  const w0 = state.speedRadPerS;
  const a0 = state.angleRad;
  const ripples = ripplesPerRevolution(motor.brushes, motor.segments);
  const k0 = torqueConstantNmPerA * rippleFactor(motor.rippleDepth, ripples, a0);
  const resistanceOhm = motor.resistanceOhm + drive.loopOhm + segmentOhm(motor.badSegmentOhm, ripples, a0);
  const direction = w0 !== 0 ? Math.sign(w0) : Math.abs(k0 * i0) > motor.dryFrictionNm + drive.breakawayNm ? Math.sign(i0) : 0;
  if (direction === 0) {
    const settledA = drive.emfV / resistanceOhm;
    state.currentA = settledA + (i0 - settledA) * Math.exp((-stepS * resistanceOhm) / inductanceH);
    return;
  }
  const frictionNm = direction * (motor.dryFrictionNm + drive.loadNm);
  const half = stepS / 2;

  const i1 = (drive.emfV - resistanceOhm * i0 - k0 * w0) / inductanceH;
  const w1 = (k0 * i0 - viscousNmSPerRad * w0 - frictionNm) / inertiaKgM2;

  let i = i0 + half * i1;
  let w = w0 + half * w1;
  let k = torqueConstantNmPerA * rippleFactor(motor.rippleDepth, ripples, a0 + half * w0);
  const i2 = (drive.emfV - resistanceOhm * i - k * w) / inductanceH;
  const w2 = (k * i - viscousNmSPerRad * w - frictionNm) / inertiaKgM2;
  const a2 = w;

  i = i0 + half * i2;
  w = w0 + half * w2;
  k = torqueConstantNmPerA * rippleFactor(motor.rippleDepth, ripples, a0 + half * a2);
  const i3 = (drive.emfV - resistanceOhm * i - k * w) / inductanceH;
  const w3 = (k * i - viscousNmSPerRad * w - frictionNm) / inertiaKgM2;
  const a3 = w;

  i = i0 + stepS * i3;
  w = w0 + stepS * w3;
  k = torqueConstantNmPerA * rippleFactor(motor.rippleDepth, ripples, a0 + stepS * a3);
  const i4 = (drive.emfV - resistanceOhm * i - k * w) / inductanceH;
  const w4 = (k * i - viscousNmSPerRad * w - frictionNm) / inertiaKgM2;

  state.currentA = i0 + (stepS / 6) * (i1 + 2 * (i2 + i3) + i4);
  state.speedRadPerS = w0 + (stepS / 6) * (w1 + 2 * (w2 + w3) + w4);
  state.angleRad = a0 + (stepS / 6) * (w0 + 2 * (a2 + a3) + w);
  if (state.speedRadPerS * direction < 0) state.speedRadPerS = 0;
}

/**
 * Advances `state` by `stepS` with the circuit just broken: the arc at the contact takes `arcV` off the coil until the current is
 * gone, then the motor coasts.
 */
export function stepBroken(state: MotorState, motor: MotorParameters, drive: MotorDrive, arcV: number, stepS: number): void {
  const sign = Math.sign(state.currentA);
  if (sign !== 0) {
    const backV = motor.torqueConstantNmPerA * state.speedRadPerS;
    const slope = (-sign * arcV - motor.resistanceOhm * state.currentA - backV) / motor.inductanceH;
    const nextA = state.currentA + slope * stepS;
    state.currentA = nextA * sign > 0 ? nextA : 0;
  }
  const direction = Math.sign(state.speedRadPerS);
  if (direction === 0) return;
  const torqueNm = -motor.viscousNmSPerRad * state.speedRadPerS - direction * (motor.dryFrictionNm + drive.loadNm);
  state.angleRad += state.speedRadPerS * stepS;
  state.speedRadPerS += (torqueNm / motor.inertiaKgM2) * stepS;
  if (state.speedRadPerS * direction < 0) state.speedRadPerS = 0;
}

/** k over its mean at this angle: one arch a commutation, as the winding in use passes the middle of the field, mean exactly 1. */
function rippleFactor(depth: number, ripples: number, angleRad: number): number {
  if (depth === 0) return 1;
  const phase = (angleRad * ripples) / (2 * Math.PI);
  const off = phase - Math.floor(phase) - 0.5;
  return 1 + (depth / 3) * (1 - 12 * off * off);
}

function segmentOhm(badSegmentOhm: number, ripples: number, angleRad: number): number {
  if (badSegmentOhm === 0) return 0;
  const turns = angleRad / (2 * Math.PI);
  return turns - Math.floor(turns) < 1 / ripples ? badSegmentOhm : 0;
}
