import { randomDrive, stepDrive, type Drive, type DriveState } from './drive.ts';
import { measure, randomSensor, type Sensor } from './sensor.ts';
import type { LabelledTrace, TruePress } from './labels.ts';
import { seeded, type Random } from './random.ts';
import { KINDS, scriptOf, type Script, type ScriptedPress } from './scripts.ts';

/** What a noiseless sensor of the same bandwidth saw, with the motor's hidden state, at the sampling times. */
interface Clean {
  readonly times: Float64Array;
  readonly currentA: Float64Array;
  readonly volts: Float64Array;
  readonly speedV: Float64Array;
}

/** One labelled trace. Physics, faults and sensor are drawn at random from the seed; `kind` may be forced. */
export function generateTrace(seed: number, forcedKind?: string): LabelledTrace {
  const random = seeded(seed * 7919 + 17);
  for (let k = 0; k < 5; k++) random.next();
  const kind = forcedKind ?? random.pick(KINDS);
  const script = scriptOf(kind, randomDrive(random), random);
  const { drive } = script;
  const stallA = drive.openV / (drive.motorOhm + drive.sourceOhm);
  const sensor = randomSensor(random, stallA);
  const withVoltage = script.needsVoltage || random.chance(0.5);
  const voltageAt = !withVoltage ? null : kind === 'dead' || kind === 'unpowered' || kind === 'starved' || random.chance(0.5) ? 'motor' : 'battery';
  const clean = simulate(script, sensor, voltageAt, random);
  const measured = measure(sensor, clean.times, clean.currentA, withVoltage ? clean.volts : null, edgesOf(script), random);
  const driven = script.supply === 'up' ? script.presses.map((press) => labelPress(press, script, sensor, clean)) : [];
  const presses = driven.filter((press) => press !== null);
  return {
    name: kind,
    seed,
    trace: { timeS: measured.timeS, currentA: measured.currentA, voltageV: measured.voltageV, gaps: measured.gaps },
    options: { ...(script.limitsA === null ? {} : { runLimitsA: script.limitsA }), commutationsPerRevolution: drive.commutations },
    finding: script.finding,
    presses,
    voltageAt: script.supply === 'none' ? null : voltageAt,
    sourceOhm: voltageAt === null || presses.length === 0 ? null : voltageAt === 'motor' ? drive.sourceOhm : drive.sourceOhm * BATTERY_SHARE,
  };
}

function edgesOf(script: Script): number[] {
  return script.presses.flatMap((press) => [press.onS, press.offS, ...press.breaks.flat()].map((atS) => atS - script.fromS));
}

/** what the battery itself contributes to the resistance of the feed */
const BATTERY_SHARE = 0.4;

function simulate(script: Script, sensor: Sensor, voltageAt: string | null, random: Random): Clean {
  const { drive } = script;
  const count = Math.floor((script.toS - script.fromS) * sensor.rateHz);
  const clean: Clean = { times: new Float64Array(count), currentA: new Float64Array(count), volts: new Float64Array(count), speedV: new Float64Array(count) };
  const periodS = 1 / sensor.rateHz;
  const stepsPerSample = Math.max(1, Math.ceil(periodS / 1e-4));
  const state: DriveState = { i: 0, e: 0, x: script.startX, rotation: 0, heat: 0, from: script.startX };
  const corner = sensor.cornerHz;
  let filteredA = 0;
  let nowS = 0;
  let sampleS = script.fromS;
  let index = 0;
  const scriptStepS = Math.min(1e-4, periodS);
  while (index < count) {
    const jitterS = sensor.jitter > 0 ? sensor.jitter * (random.next() - 0.5) * periodS : 0;
    const targetS = sampleS + jitterS;
    const steps = nowS < script.fromS ? Math.max(1, Math.ceil((targetS - nowS) / scriptStepS)) : stepsPerSample;
    const dS = Math.max(1e-9, (targetS - nowS) / steps);
    let seenA = 0;
    for (let s = 0; s < steps; s++) {
      advance(script, drive, state, nowS, dS);
      nowS += dS;
      seenA = state.i * (1 + ripple(drive, state));
      filteredA = corner === Infinity ? seenA : seenA + (filteredA - seenA) * Math.exp(-2 * Math.PI * corner * dS);
    }
    clean.times[index] = targetS - script.fromS;
    clean.currentA[index] = filteredA;
    clean.speedV[index] = state.e;
    clean.volts[index] = voltsAt(script, drive, state, nowS, voltageAt);
    index++;
    sampleS += periodS;
  }
  return clean;
}

function pressAt(script: Script, atS: number): ScriptedPress | null {
  for (const press of script.presses) if (atS >= press.onS && atS < press.offS) return press;
  return null;
}

function contactClosed(press: ScriptedPress, atS: number): boolean {
  for (const [from, to] of press.breaks) if (atS >= from && atS < to) return false;
  return true;
}

const NOTHING = { patches: [], jam: null, locked: false, stuckUntilS: -1, loadFactor: 1 };

function advance(script: Script, drive: Drive, state: DriveState, atS: number, dS: number): void {
  const press = pressAt(script, atS);
  if (press === null || script.supply !== 'up') {
    state.from = state.x;
    stepDrive(drive, state, NOTHING, 0, drive.brakes ? 'short' : 'open', atS, dS);
    return;
  }
  const closed = contactClosed(press, atS);
  stepDrive(drive, state, press.meets, press.sign * drive.openV, closed ? 'on' : 'open', atS, dS);
}

/** relative: commutation is the cusp of a rectified wave, once per revolution comes what is uneven in the rotor */
function ripple(drive: Drive, state: DriveState): number {
  if (Math.abs(state.e) < 1e-3) return 0;
  const angle = 2 * Math.PI * state.rotation;
  const cusp = Math.abs(Math.sin((drive.commutations * angle) / 2)) - 2 / Math.PI;
  return drive.rippleShare * 1.5 * cusp + drive.rotationShare * (Math.cos(angle) + 0.4 * Math.cos(2 * angle + 1));
}

function voltsAt(script: Script, drive: Drive, state: DriveState, atS: number, voltageAt: string | null): number {
  if (script.supply === 'none') return 0;
  const press = pressAt(script, atS);
  const closed = press !== null && contactClosed(press, atS);
  // the cut-out sits in the motor, behind the lead
  const on = closed || (press !== null && script.kind === 'cut-out');
  const amps = closed ? Math.abs(state.i) : 0;
  if (voltageAt === 'battery') return drive.openV - amps * drive.sourceOhm * BATTERY_SHARE;
  if (script.supply === 'dead-motor') return on ? drive.openV : 0;
  if (on) return press.sign > 0 ? drive.openV - amps * drive.sourceOhm : -(drive.openV - amps * drive.sourceOhm);
  return drive.brakes && press === null ? 0 : state.e;
}

function labelPress(press: ScriptedPress, script: Script, sensor: Sensor, clean: Clean): TruePress | null {
  const { drive } = script;
  const startS = press.onS - script.fromS;
  const endS = Math.min(press.offS - script.fromS, clean.times[clean.times.length - 1] as number);
  if (endS <= 0 || startS >= (clean.times[clean.times.length - 1] as number)) return null;
  const stalls: { startS: number; endS: number; levelA: number }[] = [];
  const dropouts = press.breaks.filter(([from]) => from > press.onS + 0.02).map(([from, to]) => ({ startS: from - script.fromS, endS: to - script.fromS }));
  const moving: number[] = [];
  const speeds: number[] = [];
  const settleS = startS + 5 * drive.mechanicalS + 0.03 + 1 / sensor.cornerHz;
  let turned = false;
  let stalledFrom = -1;
  let stood: number[] = [];
  let peakA = 0;
  for (let k = 0; k < clean.times.length; k++) {
    const atS = clean.times[k] as number;
    if (atS < Math.max(0, startS) || atS >= endS) continue;
    const amps = (clean.currentA[k] as number) * press.sign;
    const open = dropouts.some((range) => atS >= range.startS && atS < range.endS + 0.03);
    if (atS < startS + 0.3 && stalls.length === 0 && (stalledFrom < 0 || stalledFrom < startS + 0.01)) peakA = Math.max(peakA, amps);
    const stalled = Math.abs(clean.speedV[k] as number) < 2e-3 && !open;
    if (!stalled && !open) turned = true;
    if (stalled) {
      if (stalledFrom < 0) {
        stalledFrom = atS;
        stood = [];
      }
      stood.push(amps);
    }
    if ((!stalled || k === clean.times.length - 1) && stalledFrom >= 0) {
      closeStall(stalls, stalledFrom, atS, stood);
      stalledFrom = -1;
    }
    const againS = 5 * drive.mechanicalS + 0.03;
    const speedsUp = stalledFrom >= 0 || [...stalls, ...dropouts].some((range) => atS - range.endS < againS && atS >= range.endS);
    if (!stalled && !open && atS > settleS && !speedsUp) {
      moving.push(amps);
      speeds.push(Math.abs(clean.speedV[k] as number));
    }
  }
  if (stalledFrom >= 0) closeStall(stalls, stalledFrom, endS, stood);
  const runA = moving.length * (1 / sensor.rateHz) > 0.08 ? middle(moving) : null;
  const fromRest = startS >= 0;
  return {
    startS: Math.max(0, startS),
    endS,
    direction: press.sign > 0 ? 'forward' : 'reverse',
    finding: !turned ? 'locked' : dropouts.length > 0 && script.kind === 'intermittent' ? 'intermittent' : stalls.length > 0 ? 'stalled' : limitWord(runA, script),
    peakA: turned && fromRest && (stalls[0] === undefined || stalls[0].startS > startS + 0.01) && runA !== null && peakA > 1.25 * runA ? peakA : null,
    runA,
    stalls,
    dropouts,
    commutationHz: runA === null || speeds.length === 0 ? null : middle(speeds) * drive.rippleHzPerV,
    rippleHz: rippleSeen(script, sensor, runA, speeds),
  };
}

function closeStall(stalls: { startS: number; endS: number; levelA: number }[], startS: number, endS: number, stood: readonly number[]): void {
  if (endS - startS < 0.06) return;
  stalls.push({ startS, endS, levelA: middle(stood) });
}

function limitWord(runA: number | null, script: Script): string {
  if (script.limitsA === null || runA === null) return 'normal';
  return runA > script.limitsA[1] ? 'heavy' : runA < script.limitsA[0] ? 'light' : 'normal';
}

/** Usual ripple frequency over the run, where this logger can see it. */
function rippleSeen(script: Script, sensor: Sensor, runA: number | null, speeds: readonly number[]): number | null {
  const { drive } = script;
  if (runA === null || speeds.length < 10) return null;
  const hz = middle(speeds) * drive.rippleHzPerV;
  const stepA = (2 * sensor.fullScaleA) / 2 ** sensor.bits;
  const through = sensor.cornerHz === Infinity ? 1 : 1 / Math.sqrt(1 + (hz / sensor.cornerHz) ** 2);
  const amplitudeA = 0.64 * drive.rippleShare * runA * through;
  const noiseA2 = sensor.noiseA ** 2 + stepA ** 2 / 12;
  const window = Math.min(speeds.length, 0.25 * sensor.rateHz);
  const seen = hz < sensor.rateHz / 2.5 && hz > 25 && (amplitudeA ** 2 / (4 * noiseA2)) * window > 60 && speeds.length / sensor.rateHz > 20 / hz;
  return seen ? hz : null;
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] as number;
}
