import { wireOhm } from '../../reference/wire.ts';
import { GOOD_BACK_V, SECTION_LOSS_V } from './limits.ts';

/** Points of a walk in the order of the current; the ground side ends at the battery's negative post, which is zero. */
export const WALK_POINTS = ['battery', 'fuse-in', 'fuse-out', 'switch-in', 'switch-out', 'module-in', 'module-out', 'motor-plus', 'motor-minus', 'ground', 'battery-minus'] as const;
export type WalkPoint = (typeof WALK_POINTS)[number];

/** One wire of the circuit: cross-section in mm², length in m. */
export interface WalkWire {
  readonly areaMm2: number;
  readonly lengthM: number;
}

interface WalkInput {
  /** volts against the battery's negative post, with the motor running */
  readonly volts: Readonly<Partial<Record<WalkPoint, number>>>;
  /** by the clamp meanwhile, A, either sign: a walk does not hang on which way round it sits; null when not measured */
  readonly currentA: number | null;
  readonly feedWire: WalkWire | null;
  readonly backWire: WalkWire | null;
}

export interface WalkSection {
  readonly from: WalkPoint;
  readonly to: WalkPoint;
  readonly lossV: number;
  /** null without a current; bounds 95 % by the meter's last digit and the clamp's gain, taken together in the worst way */
  readonly ohm: number | null;
  readonly lowOhm: number | null;
  readonly highOhm: number | null;
  /** load: the motor itself, which is to have the volts · loses: more than a good section does · keeps · gains: volts rise along the way, so the readings were not taken at the same load */
  readonly state: 'load' | 'loses' | 'keeps' | 'gains';
}

interface WalkSide {
  readonly lossV: number;
  /** what the wire alone would lose at this current; null without wire or current */
  readonly wireV: number | null;
}

export interface Walk {
  readonly sections: readonly WalkSection[];
  /** the section that loses the volts; null where none loses more than a good one */
  readonly worst: WalkSection | null;
  /** battery to motor plus, and motor minus to the battery; null where an end was not measured */
  readonly feed: WalkSide | null;
  readonly back: WalkSide | null;
}

/** A meter's last digit on its 20 V range, V; each end of a section may be off by it (common practice, no published source). */
const DIGIT_V = 0.01;
/** A clamp's gain, as a share (common practice, no published source; a calibration says it better). */
const CLAMP_SHARE = 0.02;
/** Wire tables hold at this temperature, C. */
const WIRE_C = 20;

/** Losses from point to point of a circuit under load: the section that loses the volts has the fault. */
export function walkOf({ volts, currentA: readA, feedWire, backWire }: WalkInput): Walk {
  const currentA = readA === null ? null : Math.abs(readA);
  const known: Readonly<Partial<Record<WalkPoint, number>>> = { ...volts, 'battery-minus': 0 };
  const measured = WALK_POINTS.filter((point) => known[point] !== undefined);
  const sections = measured.slice(1).map((to, index) => sectionOf(measured[index], to, known[measured[index]]! - known[to]!, currentA));
  const losing = sections.filter(({ state }) => state === 'loses').sort((a, b) => excessV(b) - excessV(a));
  const side = (from: WalkPoint, to: WalkPoint, wire: WalkWire | null): WalkSide | null => {
    const start = known[from];
    const end = known[to];
    if (start === undefined || end === undefined) return null;
    return { lossV: start - end, wireV: wire === null || currentA === null ? null : wireOhm(wire.areaMm2, wire.lengthM, WIRE_C) * currentA };
  };
  return { sections, worst: losing[0] ?? null, feed: side('battery', 'motor-plus', feedWire), back: side('motor-minus', 'battery-minus', backWire) };
}

function sectionOf(from: WalkPoint, to: WalkPoint, lossV: number, currentA: number | null): WalkSection {
  const load = WALK_POINTS.indexOf(from) <= WALK_POINTS.indexOf('motor-plus') && WALK_POINTS.indexOf(to) >= WALK_POINTS.indexOf('motor-minus');
  const mayLoseV = allowedV(from);
  const state = load ? 'load' : lossV > mayLoseV ? 'loses' : lossV < -2 * DIGIT_V ? 'gains' : 'keeps';
  if (load || currentA === null || !(currentA > 0)) return { from, to, lossV, ohm: null, lowOhm: null, highOhm: null, state };
  return {
    from, to, lossV,
    ohm: Math.max(0, lossV) / currentA,
    lowOhm: Math.max(0, lossV - 2 * DIGIT_V) / (currentA * (1 + CLAMP_SHARE)),
    highOhm: Math.max(0, lossV + 2 * DIGIT_V) / (currentA * (1 - CLAMP_SHARE)),
    state,
  };
}

function allowedV(from: WalkPoint): number {
  return WALK_POINTS.indexOf(from) >= WALK_POINTS.indexOf('motor-minus') ? GOOD_BACK_V : SECTION_LOSS_V;
}

function excessV({ from, lossV }: WalkSection): number {
  return lossV - allowedV(from);
}
