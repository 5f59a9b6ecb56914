import { contactEdges, type Feed, type Press } from './circuit.ts';
import { loadNm, type Machine } from './machine.ts';

/** A contact held but not conducting: the motor coasts, open. */
const LOST = 2;

/** The true course of a test, sampled every STEP_S. */
export interface Track {
  readonly stepS: number;
  readonly lengthS: number;
  readonly currentA: Float64Array;
  readonly motorV: Float64Array;
  readonly batteryV: Float64Array;
  readonly speedRad: Float64Array;
  readonly angleRad: Float64Array;
  /** direction in which the feed drives the motor; 0 released, lost or opened */
  readonly fed: Int8Array;
  /** protector has opened (or a polymer one risen to 5 times its resistance) */
  readonly tripped: Uint8Array;
}

export interface Course {
  readonly lengthS: number;
  readonly presses: readonly Press[];
  readonly bounces: readonly (readonly number[])[];
  /** shaft angles at which the mechanism stops, rad */
  readonly lowStopRad: number;
  readonly highStopRad: number;
  /** a heavy stretch of the travel: friction times `heft` */
  readonly patch: { readonly fromRad: number; readonly toRad: number; readonly heft: number } | null;
  readonly heft: number;
}

export const STEP_S = 0.00005;

/** Fourth-order Runge-Kutta over current, speed and angle; play, heat and protector step once a step. */
export function roll(m: Machine, feed: Feed, course: Course): Track {
  const count = Math.ceil(course.lengthS / STEP_S);
  const currentA = new Float64Array(count);
  const motorV = new Float64Array(count);
  const batteryV = new Float64Array(count);
  const speedRad = new Float64Array(count);
  const angleRad = new Float64Array(count);
  const fed = new Int8Array(count);
  const tripped = new Uint8Array(count);
  const sides = sideAt(course, feed, count);
  const table = m.turnTable;
  const perRad = table.length / (2 * Math.PI);
  let [i, w, a, output, heat, winding] = [0, 0, 0, 0, 0, 0];
  let tripOhm = 0;
  let isOpen = false;
  let side = 0;
  let engaged = false;
  let di = 0;
  let dw = 0;
  const damping = 0.6 * Math.sqrt(m.load.stopNmPerRad * m.inertia);
  // a resistance the step still follows
  const steadyOhm = Math.min(30 * m.ohm, (1.6 * m.henry) / STEP_S - m.ohm);
  const seriesOhm = m.ohm + feed.batteryOhm + feed.wireOhm;
  const derive = (current: number, speed: number, angle: number): void => {
    const slot = angle * perRad;
    const whole = Math.floor(slot);
    const at = ((whole % table.length) + table.length) % table.length;
    const next = at + 1 === table.length ? 0 : at + 1;
    const k = m.k * (1 + table[at] + (table[next] - table[at]) * (slot - whole));
    const drop = m.brushV * Math.tanh(current / (0.01 * m.stallA));
    if (side !== 0 && side !== LOST && !isOpen && !feed.openMotor) di = (side * m.voltV - (seriesOhm + m.ohm * winding + tripOhm) * current - drop - k * speed) / m.henry;
    else if (side === 0 && feed.braked && !isOpen && !feed.openMotor) di = (-(m.ohm + tripOhm) * current - drop - k * speed) / m.henry;
    else di = -current / 0.00006;
    let heft = course.heft;
    if (course.patch !== null && angle > course.patch.fromRad && angle < course.patch.toRad) {
      const within = (angle - course.patch.fromRad) / (course.patch.toRad - course.patch.fromRad);
      heft *= 1 + (course.patch.heft - 1) * Math.min(1, 8 * within, 8 * (1 - within));
    }
    let torque = k * current - loadNm(m, speed, angle, engaged, heft);
    if (angle > course.highStopRad) torque -= m.load.stopNmPerRad * (angle - course.highStopRad) + damping * Math.max(0, speed);
    else if (angle < course.lowStopRad) torque -= m.load.stopNmPerRad * (angle - course.lowStopRad) + damping * Math.min(0, speed);
    dw = torque / m.inertia;
  };
  const h = STEP_S;
  for (let step = 0; step < count; step++) {
    side = sides[step];
    if (side === 0 && Math.abs(w) < 0.05 && Math.abs(i) < 1e-6) {
      i = 0;
      w = 0;
    } else {
      derive(i, w, a);
      const [i1, w1] = [di, dw];
      const wa = w + (h / 2) * w1;
      derive(i + (h / 2) * i1, wa, a + (h / 2) * w);
      const [i2, w2] = [di, dw];
      const wb = w + (h / 2) * w2;
      derive(i + (h / 2) * i2, wb, a + (h / 2) * wa);
      const [i3, w3] = [di, dw];
      const wc = w + h * w3;
      derive(i + h * i3, wc, a + h * wb);
      a += (h / 6) * (w + 2 * wa + 2 * wb + wc);
      i += (h / 6) * (i1 + 2 * i2 + 2 * i3 + di);
      w += (h / 6) * (w1 + 2 * w2 + 2 * w3 + dw);
    }
    if (a - output > m.load.playRad / 2) [output, engaged] = [a - m.load.playRad / 2, w > 0];
    else if (output - a > m.load.playRad / 2) [output, engaged] = [a + m.load.playRad / 2, w < 0];
    else engaged = false;
    const share = i / m.stallA;
    winding = Math.min(0.25, winding + h * (share * share * 0.012 - winding / 90));
    if (feed.protector !== null) {
      const { kind, ohm, tripS } = feed.protector;
      heat += h * ((share * share * (1 + tripOhm / ohm)) / tripS - heat / 40);
      if (kind === 'polymer') tripOhm += (h / 0.05) * (Math.min((ohm * 600) / (1 + Math.exp((1 - heat) / 0.025)), steadyOhm) - tripOhm);
      else if (heat > 1) isOpen = true;
      if (kind === 'bimetal' && isOpen && side === 0) [isOpen, heat] = [false, 0.75];
    }
    currentA[step] = i;
    const isFed = side !== 0 && side !== LOST && !feed.openMotor && !isOpen;
    batteryV[step] = m.voltV - (isFed ? Math.abs(i) * feed.batteryOhm : 0);
    motorV[step] = side !== 0 && side !== LOST ? side * m.voltV - i * (feed.batteryOhm + feed.wireOhm) : (feed.braked && side === 0) || feed.openMotor ? 0 : m.k * w;
    speedRad[step] = w;
    angleRad[step] = a;
    fed[step] = isFed ? side : 0;
    tripped[step] = isOpen || (feed.protector !== null && tripOhm > 5 * feed.protector.ohm + 0.3 * m.ohm) ? 1 : 0;
  }
  return { stepS: STEP_S, lengthS: course.lengthS, currentA, motorV, batteryV, speedRad, angleRad, fed, tripped };
}

function sideAt(course: Course, feed: Feed, count: number): Int8Array {
  const sides = new Int8Array(count);
  if (feed.deadSwitch) return sides;
  course.presses.forEach((press, index) => {
    const edges = contactEdges(press, course.bounces[index]);
    for (let e = 0; e + 1 < edges.length; e++) {
      sides.fill(edges[e][1] ? press.side : LOST, Math.round(edges[e][0] / STEP_S), Math.round(edges[e + 1][0] / STEP_S));
    }
  });
  for (const loss of feed.losses) sides.fill(LOST, Math.round(loss.startS / STEP_S), Math.round(loss.endS / STEP_S));
  return sides;
}
