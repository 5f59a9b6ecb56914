import type { Random } from './random.ts';

/**
 * A brushed motor and what it drives, in volts and amps only: back-EMF serves as speed, load is the current that balances it.
 *   L di/dt = V - R i - e        de/dt = (R / mechanicalS) (i - load)
 * Friction is dry: a motor at rest stays so until its current exceeds the load.
 */
export interface Drive {
  readonly openV: number;
  /** everything in the loop up to the voltage lead, and the rest with the motor, ohm */
  readonly sourceOhm: number;
  readonly motorOhm: number;
  readonly electricalS: number;
  readonly mechanicalS: number;
  /** A while running freely along */
  readonly loadA: number;
  /** relative depth and period (in travel, V s) of the load's waves */
  readonly waveDepth: number;
  readonly waveTravel: number;
  /** travel from one end to the other, V s */
  readonly travel: number;
  readonly rippleShare: number;
  readonly rippleHzPerV: number;
  readonly commutations: number;
  /** of the current, once per revolution; may be stronger than the ripple */
  readonly rotationShare: number;
  /** relative rise of the winding's resistance per A² s of heat */
  readonly warming: number;
  readonly brakes: boolean;
  /** thickness of what gives way at a stop, V s */
  readonly give: number;
}

/** heavy going, by travel since the press began */
export interface Patch {
  readonly from: number;
  readonly to: number;
  readonly extraA: number;
}

/** What one press meets. */
export interface Meets {
  readonly patches: readonly Patch[];
  /** travel since the press began at which something jams, and when it lets go (s of the trace) */
  readonly jam: { readonly at: number; readonly untilS: number } | null;
  /** the rotor is held from the start */
  readonly locked: boolean;
  /** held at the start until then, s of the trace */
  readonly stuckUntilS: number;
  /** the mechanism is uncoupled: the load drops to this share */
  readonly loadFactor: number;
}

/** revolutions per second at the running level: 600 to 6600 rpm. Common practice, no published source (the maxon RE 65 turns at 3420 under load) */
const SLOWEST_TURN_HZ = 10;
const FASTEST_TURN_HZ = 110;

export function randomDrive(random: Random): Drive {
  const runA = random.scale(1, 45);
  const openV = random.between(11.8, 14.4);
  const overRun = random.between(2, 6.5);
  const totalOhm = openV / (runA * overRun);
  const sourceShare = random.between(0.04, 0.16);
  const mechanicalS = random.scale(0.012, 0.22);
  const runV = openV * (1 - 1 / overRun);
  const commutations = random.pick([8, 10, 12, 14, 16, 20, 24, 26]);
  return {
    openV,
    sourceOhm: totalOhm * sourceShare,
    motorOhm: totalOhm * (1 - sourceShare),
    electricalS: Math.min(random.scale(0.0003, 0.006), mechanicalS / 4),
    mechanicalS,
    loadA: runA,
    waveDepth: random.between(0, 0.06),
    waveTravel: runV * random.between(0.15, 1.2),
    travel: runV * random.between(1.2, 5),
    rippleShare: random.between(0.01, 0.09),
    rippleHzPerV: (commutations * random.scale(SLOWEST_TURN_HZ, FASTEST_TURN_HZ)) / runV,
    commutations,
    rotationShare: random.chance(0.35) ? random.between(0.01, 0.12) : 0.004,
    warming: random.chance(0.5) ? random.between(0, 0.03) / (runA * overRun) ** 2 : 0,
    brakes: random.chance(0.45),
    give: runV * random.between(0.004, 0.03),
  };
}

export interface DriveState {
  i: number;
  e: number;
  x: number;
  rotation: number;
  heat: number;
  /** x when the press began */
  from: number;
}

/** One step of `dS` with `volts` applied (signed), or the contact open, or the motor shorted. Exact in i, Euler in e. */
export function stepDrive(drive: Drive, state: DriveState, meets: Meets, volts: number, mode: 'on' | 'open' | 'short', atS: number, dS: number): void {
  const ohm = drive.motorOhm * (1 + state.heat) + (mode === 'on' ? drive.sourceOhm : 0);
  if (mode === 'open') {
    // a diode or the arc carries the coil's current on for a moment
    state.i *= Math.exp(-dS / Math.max(drive.electricalS * 0.5, 1e-5));
  } else {
    const goal = ((mode === 'on' ? volts : 0) - state.e) / ohm;
    state.i = goal + (state.i - goal) * Math.exp(-dS / drive.electricalS);
  }
  state.heat += drive.warming * state.i * state.i * dS;
  const loadA = loadAt(drive, state, meets, atS);
  const turning = Math.abs(state.e) > 1e-3;
  const direction = turning ? Math.sign(state.e) : Math.sign(state.i);
  const rate = (drive.motorOhm + drive.sourceOhm) / drive.mechanicalS;
  if (!turning && Math.abs(state.i) <= loadA) {
    state.e = 0;
  } else {
    const next = state.e + rate * (state.i - direction * loadA) * dS;
    state.e = turning && next * state.e < 0 ? 0 : next;
  }
  state.x += state.e * dS;
  state.rotation += (state.e * drive.rippleHzPerV * dS) / drive.commutations;
}

function loadAt(drive: Drive, state: DriveState, meets: Meets, atS: number): number {
  const stallA = (2 * drive.openV) / (drive.motorOhm + drive.sourceOhm);
  if (meets.locked || atS < meets.stuckUntilS) return stallA * 2;
  let loadA = drive.loadA * meets.loadFactor * (1 + drive.waveDepth * Math.sin((2 * Math.PI * state.x) / drive.waveTravel));
  const along = Math.abs(state.x - state.from);
  for (const patch of meets.patches) {
    if (along > patch.from && along < patch.to) loadA += patch.extraA * Math.sin((Math.PI * (along - patch.from)) / (patch.to - patch.from)) ** 0.7;
  }
  const forward = state.e > 1e-3 || (Math.abs(state.e) <= 1e-3 && state.i > 0);
  const beyond = forward ? state.x - drive.travel : -state.x;
  if (beyond > 0) loadA += stallA * (beyond / drive.give);
  if (meets.jam !== null && atS < meets.jam.untilS && along > meets.jam.at) loadA += stallA * ((along - meets.jam.at) / drive.give);
  return loadA;
}
