import type { Feed, Press, Span } from './circuit.ts';
import type { Machine } from './machine.ts';
import type { Meter, Reading } from './meter.ts';
import { STEP_S, type Track } from './roll.ts';
import type { Story } from './stories.ts';

/** What is true of one actuation, by speed and contacts, never from the recorded current. Times are the trace's own. */
export interface TruePress {
  readonly startS: number;
  readonly endS: number;
  readonly side: 1 | -1;
  readonly peakA: number | null;
  /** medianA null where it hangs on which part of a wave the losses leave */
  readonly run: { readonly startS: number; readonly endS: number; readonly medianA: number | null } | null;
  readonly stalls: readonly { readonly startS: number; readonly endS: number; readonly levelA: number; readonly at: 'start' | 'travel' }[];
  readonly dropouts: readonly Span[];
  readonly ripple: { readonly hz: number; readonly seen: 'yes' | 'perhaps' | 'no' } | null;
  readonly finding: string | null;
}

export interface Truth {
  readonly presses: readonly TruePress[];
  readonly sourceOhm: number | null;
  readonly verdict: string | null;
}

/** standing: below this share of the no-load speed for at least STAND_S */
const STAND_SHARE = 0.02;
const STAND_S = 0.06;

export function tellTruth(m: Machine, feed: Feed, story: Story, track: Track, meter: Meter, reading: Reading, fromS: number, toS: number, voltage: 'motor' | 'battery' | 'none', limitsA: readonly [number, number] | null): Truth {
  const silent = feed.deadSwitch || feed.openMotor;
  const presses: TruePress[] = [];
  for (const press of silent ? [] : story.presses) {
    if (press.endS > fromS && press.startS < toS) presses.push(truePress(m, feed, story, track, meter, reading, press, fromS, toS, voltage, limitsA));
  }
  const ohm = voltage === 'motor' ? feed.batteryOhm + feed.wireOhm : feed.batteryOhm;
  const swing = presses.reduce((most, press) => Math.max(most, (press.peakA ?? 0) - (press.run?.medianA ?? 0)), 0);
  const findings = new Set(presses.map((press) => press.finding));
  const limited = limitsA !== null && (findings.has('heavy') || findings.has('light') || findings.has(null));
  return {
    presses,
    sourceOhm: voltage !== 'none' && swing * ohm > 0.2 ? ohm : null,
    verdict: limited && findings.size > 1 ? null : limited ? (presses[0]?.finding ?? null) : story.verdict,
  };
}

function truePress(m: Machine, feed: Feed, story: Story, track: Track, meter: Meter, reading: Reading, press: Press, fromS: number, toS: number, voltage: string, limitsA: readonly [number, number] | null): TruePress {
  const first = Math.round(Math.max(press.startS, fromS) / STEP_S);
  let last = Math.min(track.fed.length, Math.round(Math.min(press.endS, toS) / STEP_S));
  if (feed.protector?.kind === 'bimetal' && voltage !== 'motor') {
    for (let i = first; i < last; i++) if (track.tripped[i] === 1) last = Math.min(last, i);
  }
  const amps = (i: number): number => press.side * track.currentA[i];
  const standing = standingSpans(m, track, first, last, meter, (i) => amps(i) > 0.3 * m.stallA * (m.ohm / (m.ohm + feed.batteryOhm + feed.wireOhm)));
  const startAngle = track.angleRad[first];
  const isAtStart = (from: number): boolean => Math.abs(track.angleRad[from] - startAngle) < 6 + m.load.playRad;
  // play taken up and a stop pressed in are no turning: such a motor stood from the start
  const stalls = standing.map(([from, to]) => ({
    startS: (isAtStart(from) ? first : from) * STEP_S - fromS, endS: to * STEP_S - fromS,
    levelA: median(track.currentA.subarray(from, to)) * press.side,
    at: isAtStart(from) ? ('start' as const) : ('travel' as const),
  })).filter((stall) => stall.endS - stall.startS > 0.1 + 12 / meter.rateHz);
  const wasCut = press.startS < fromS;
  const turned = stalls.every((stall) => stall.at === 'travel') || wasCut;
  const losses = feed.losses.filter((loss) => loss.startS >= press.startS && loss.endS <= press.endS).map((loss) => ({ startS: loss.startS - fromS, endS: loss.endS - fromS }));
  const run = turned ? runOf(m, feed, track, press.side, first, standing[0]?.[0] ?? last, wasCut) : null;
  const heard = run === null ? null : rippleOf(m, track, meter, run[0], run[1]);
  const medianA = run === null ? 0 : press.side * settledMedian(m, feed, track, run[0], run[1], losses, fromS);
  let finding: string | null = 'normal';
  if (losses.length > 0) finding = 'intermittent';
  else if (stalls.some((stall) => stall.at === 'travel')) finding = 'stalled';
  else if (stalls.length > 0) finding = 'locked';
  else if (limitsA !== null && run !== null) {
    const near = limitsA.some((limit) => Math.abs(medianA / limit - 1) < 0.06);
    finding = near ? null : medianA > limitsA[1] ? 'heavy' : medianA < limitsA[0] ? 'light' : 'normal';
  }
  if (story.name === 'starved' || (limitsA !== null && run === null)) finding = null;
  return {
    startS: first * STEP_S - fromS, endS: last * STEP_S - fromS, side: press.side,
    peakA: run === null || wasCut ? null : peakOf(reading, meter, press.side, first * STEP_S - fromS, run[0] * STEP_S - fromS),
    run: run === null ? null : { startS: run[0] * STEP_S - fromS, endS: run[1] * STEP_S - fromS, medianA: losses.length > 0 && m.load.kind === 'crank' ? null : medianA },
    stalls, dropouts: losses, ripple: heard, finding,
  };
}

/** Stretches under power in which the shaft is still, from `first` to `last`, ended early once a protector has acted. */
function standingSpans(m: Machine, track: Track, first: number, last: number, meter: Meter, loaded: (i: number) => boolean): [number, number][] {
  const spans: [number, number][] = [];
  let from = -1;
  for (let i = first; i <= last; i++) {
    const stalled = i < last && track.fed[i] !== 0 && track.tripped[i] === 0 && Math.abs(track.speedRad[i]) < STAND_SHARE * m.noLoadRad && loaded(i);
    if (stalled && from < 0) from = i;
    if (!stalled && from >= 0) {
      if ((i - from) * STEP_S > Math.max(STAND_S, 4 / meter.rateHz)) spans.push([from, i]);
      from = -1;
    }
  }
  return spans;
}

/** The settled running part: after four mechanical time constants of the whole loop, before the shaft slows to a stop or the feed ends. */
function runOf(m: Machine, feed: Feed, track: Track, side: number, first: number, end: number, wasCut: boolean): [number, number] | null {
  const slowing = (m.inertia * (m.ohm + feed.batteryOhm + feed.wireOhm)) / (m.k * m.k);
  let startS = first * STEP_S + (wasCut ? 0 : 5 * slowing + 0.02);
  // a plugged motor first has to be turned round
  let i = Math.round(startS / STEP_S);
  while (i < end && side * track.speedRad[i] < 0.3 * m.runRad) i++;
  if (i * STEP_S > startS) startS = i * STEP_S + (wasCut ? 0 : 4 * slowing);
  const from = Math.round(startS / STEP_S);
  const to = end - Math.round(0.03 / STEP_S);
  return (to - from) * STEP_S > 0.15 ? [from, to] : null;
}

/** Median of the run without lost contacts and the time the motor needs to be back at speed. */
function settledMedian(m: Machine, feed: Feed, track: Track, from: number, to: number, losses: readonly Span[], fromS: number): number {
  const slowing = (m.inertia * (m.ohm + feed.batteryOhm + feed.wireOhm)) / (m.k * m.k);
  const kept: number[] = [];
  for (let i = from; i < to; i++) {
    const atS = i * STEP_S - fromS;
    if (!losses.some((loss) => atS >= loss.startS && atS < loss.endS + 5 * slowing)) kept.push(track.currentA[i]);
  }
  return median(Float64Array.from(kept));
}

function peakOf(reading: Reading, meter: Meter, side: number, fromS: number, toS: number): number | null {
  let peak = 0;
  for (let i = 0; i < reading.cleanA.length; i++) {
    const atS = reading.trace.timeS[i];
    if (atS >= fromS && atS < toS) peak = Math.max(peak, side * reading.cleanA[i]);
  }
  return peak > 0.97 * meter.fullScaleA ? null : peak;
}

/** Ripple rate over the run, and whether the recorded column could show it: power of the line over the noise in one coherent stretch. */
function rippleOf(m: Machine, track: Track, meter: Meter, from: number, to: number): TruePress['ripple'] {
  const speeds = Float64Array.from(track.speedRad.subarray(from, to), Math.abs);
  const speed = median(speeds);
  const meanSpeed = speeds.reduce((sum, value) => sum + value, 0) / speeds.length;
  const hz = (m.ripplesPerTurn * speed) / (2 * Math.PI);
  const reactance = 2 * Math.PI * hz * m.henry;
  let amp = (m.rippleShare * m.k * speed) / Math.hypot(m.ohm, reactance);
  if (meter.order === -1) amp *= Math.abs(Math.sin((Math.PI * hz) / meter.rateHz) / ((Math.PI * hz) / meter.rateHz));
  else if (meter.order > 0) amp /= Math.pow(Math.hypot(1, hz / meter.cornerHz), meter.order);
  const noise = Math.hypot(meter.noiseA, meter.stepA / Math.sqrt(12));
  const snr = (amp * amp * Math.min(0.4, (to - from) * STEP_S) * meter.rateHz) / (noise * noise);
  if (hz > 0.5 * meter.rateHz || snr < 2) return { hz, seen: 'no' };
  const nearHum = meter.humA > 0 && Math.abs(hz / meter.humHz - Math.round(hz / meter.humHz)) < 0.1;
  // mean and usual rate apart: either would be right
  if (Math.abs(meanSpeed / speed - 1) > 0.004) return { hz, seen: 'perhaps' };
  return { hz, seen: hz < 0.4 * meter.rateHz && snr > 200 && amp > 0.15 * meter.stepA && !nearHum ? 'yes' : 'perhaps' };
}

export function median(values: Float64Array): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0 ? 0 : sorted[sorted.length >> 1];
}
