import type { Dice } from './dice.ts';

/**
 * A brushed motor and the mechanism it drives, in motor-shaft terms: v = R i + L di/dt + k w and J dw/dt = k i - load (textbook).
 * Friction follows Stribeck (more at rest than moving), the gear has play, the end stops are stiff damped springs.
 */
export interface Machine {
  readonly voltV: number;
  readonly ohm: number;
  readonly henry: number;
  /** V s/rad and Nm/A */
  readonly k: number;
  readonly inertia: number;
  readonly brushV: number;
  /** relative change of k over one turn: ripple, unequal segments, rotation */
  readonly turnTable: Float64Array;
  readonly ripplesPerTurn: number;
  /** rms of the ripple's own part of the table, as a share of k */
  readonly rippleShare: number;
  readonly noLoadRad: number;
  /** current at rated voltage in steady run, A, and there the speed, rad/s */
  readonly runA: number;
  readonly runRad: number;
  readonly stallA: number;
  readonly load: Load;
}

export type LoadKind = 'seat' | 'window' | 'screw' | 'crank' | 'fan';

export interface Load {
  readonly kind: LoadKind;
  /** sliding friction, Nm, and its excess at rest as a share of it */
  readonly slideNm: number;
  readonly stickShare: number;
  readonly stribeckRad: number;
  /** share of slideNm that helps in one direction and hinders in the other */
  readonly gravityShare: number;
  /** play of the gear, rad of the motor shaft */
  readonly playRad: number;
  /** gear mesh: rad of the motor per tooth, share of slideNm */
  readonly meshRad: number;
  readonly meshShare: number;
  /** rad of the motor per turn of the crank, or over which a window's load doubles */
  readonly spanRad: number;
  readonly stopNmPerRad: number;
}

const TABLE = 2048;

export function makeMachine(dice: Dice): Machine {
  const voltV = dice.chance(0.2) ? 25.2 + dice.between(-0.8, 2.5) : dice.between(11.9, 14.4);
  const stallA = dice.scale(2.2, 75);
  const runA = stallA * dice.between(0.13, 0.42);
  const ohm = (voltV - 0.5) / stallA;
  const noLoadRad = (dice.scale(1500, 6500) * 2 * Math.PI) / 60;
  const brushV = dice.between(0.2, 0.7);
  const k = (voltV - brushV) / noLoadRad;
  const mechanicalS = dice.scale(0.009, 0.11);
  const runRad = (voltV - brushV - runA * ohm) / k;
  const segments = dice.pick([3, 5, 7, 8, 10, 12, 14]);
  const brushes = dice.chance(0.8) ? 2 : 4;
  const ripplesPerTurn = lcm(segments, brushes);
  const slideNm = k * runA;
  const kind = dice.pick<LoadKind>(['seat', 'seat', 'window', 'screw', 'crank', 'fan']);
  const ripple = dice.chance(0.15) ? 0.0005 : (dice.scale(0.01, 0.09) * 5) / (4 + Math.min(ripplesPerTurn, 12));
  const table = turnTable(dice, ripplesPerTurn, segments, ripple);
  return {
    voltV, ohm, henry: ohm * dice.scale(0.00015, 0.002), k, inertia: (mechanicalS * k * k) / ohm, brushV,
    turnTable: table.values, ripplesPerTurn, rippleShare: table.rippleShare, noLoadRad, runA, runRad, stallA,
    load: {
      kind, slideNm,
      stickShare: dice.between(0.05, 0.5),
      stribeckRad: noLoadRad * dice.between(0.02, 0.12),
      gravityShare: kind === 'fan' || kind === 'crank' ? 0 : dice.between(0, 0.3),
      playRad: kind === 'screw' ? dice.between(2, 15) : dice.between(0.1, 2),
      meshRad: dice.between(0.7, 6),
      meshShare: dice.chance(0.6) ? dice.scale(0.005, 0.08) : 0,
      spanRad: runRad * dice.between(0.7, 6),
      stopNmPerRad: (k * stallA) / dice.scale(0.3, 4),
    },
  };
}

/** Drag of the mechanism beyond friction direction, Nm, at speed `w` and shaft angle `a`; `heft` scales the friction at this place. */
export function loadNm(m: Machine, w: number, a: number, engaged: boolean, heft: number): number {
  const { load } = m;
  const soft = Math.tanh(w / 2);
  if (load.kind === 'fan') return load.slideNm * (0.12 * soft + 0.88 * (w * Math.abs(w)) / (m.runRad * m.runRad)) * heft;
  const light = 0.15 * load.slideNm * soft;
  if (!engaged) return light;
  const stick = 1 + load.stickShare * Math.exp(-(w * w) / (load.stribeckRad * load.stribeckRad));
  const mesh = load.meshShare * Math.cos((2 * Math.PI * a) / load.meshRad);
  let shape = 1;
  if (load.kind === 'crank') shape = 0.8 + 0.35 * Math.cos((2 * Math.PI * a) / load.spanRad);
  else if (load.kind === 'window') shape = 0.85 + 0.5 / (1 + Math.exp(-(a / load.spanRad - 1) * 3));
  return light + 0.85 * load.slideNm * ((shape * stick * heft + mesh) * soft + load.gravityShare * Math.tanh(w / 20) * (w > 0 ? 1 : -0.6));
}

/** Per-turn table: one hump a commutation with unequal widths and heights, a once- and twice-a-turn part. */
function turnTable(dice: Dice, ripplesPerTurn: number, segments: number, ripple: number): { values: Float64Array; rippleShare: number } {
  const values = new Float64Array(TABLE);
  const edges = new Float64Array(ripplesPerTurn + 1);
  const uneven = dice.between(0, 0.12);
  for (let i = 0; i <= ripplesPerTurn; i++) edges[i] = (i + (i > 0 && i < ripplesPerTurn ? uneven * dice.between(-1, 1) : 0)) / ripplesPerTurn;
  const height = Array.from({ length: segments }, () => 1 + dice.between(-0.25, 0.25) * (dice.chance(0.5) ? 1 : 0));
  const once = ripple * (dice.chance(0.6) ? dice.between(0, 1.4) : 0);
  const twice = ripple * (dice.chance(0.4) ? dice.between(0, 0.7) : 0);
  const phase = dice.between(0, 2 * Math.PI);
  const sharp = dice.chance(0.5);
  let sumSquares = 0;
  let hump = 0;
  for (let i = 0; i < TABLE; i++) {
    const turn = i / TABLE;
    while (turn >= edges[hump + 1]) hump++;
    const within = (turn - edges[hump]) / (edges[hump + 1] - edges[hump]);
    const wave = sharp ? Math.abs(Math.sin(Math.PI * within)) * 2 - 1.273 : Math.sin(2 * Math.PI * within);
    const part = ripple * height[hump % segments] * wave;
    sumSquares += part * part;
    values[i] = part + once * Math.cos(2 * Math.PI * turn + phase) + twice * Math.cos(4 * Math.PI * turn + 2 * phase);
  }
  return { values, rippleShare: Math.sqrt(sumSquares / TABLE) };
}

function lcm(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y > 0) [x, y] = [y, x % y];
  return (a * b) / x;
}
