import type { Drive, Meets } from './drive.ts';
import type { Random } from './random.ts';

/** One press as the hand and the fault make it. */
export interface ScriptedPress {
  readonly onS: number;
  readonly offS: number;
  readonly sign: 1 | -1;
  /** contact open within the press, [from, to) in s */
  readonly breaks: readonly (readonly [number, number])[];
  /** whether the breaks are lost contacts to be found (chatter at make is not) */
  readonly meets: Meets;
}

export interface Script {
  readonly kind: string;
  readonly drive: Drive;
  readonly presses: readonly ScriptedPress[];
  readonly durationS: number;
  /** the recording covers [from, to) of the script */
  readonly fromS: number;
  readonly toS: number;
  readonly startX: number;
  readonly limitsA: readonly [number, number] | null;
  readonly finding: string;
  readonly supply: 'up' | 'dead-motor' | 'none';
  readonly needsVoltage: boolean;
}

export const KINDS = [
  'normal', 'normal', 'end-stop', 'end-stop', 'jam', 'jam', 'jam-clears', 'repeated-stalls', 'locked', 'patch', 'patch', 'heavy', 'light',
  'intermittent', 'intermittent', 'starved', 'dead', 'unpowered', 'reversal', 'starts-midway', 'ends-midway', 'cut-out', 'stuck-start', 'taps',
] as const;

/** travel so long that no test reaches its end, V s */
const ENDLESS = 1e5;

const FREE: Meets = { patches: [], jam: null, locked: false, stuckUntilS: -1, loadFactor: 1 };

export function scriptOf(kind: string, base: Drive, random: Random): Script {
  const runV = base.openV - base.loadA * (base.motorOhm + base.sourceOhm);
  const endless: Drive = { ...base, travel: ENDLESS };
  const drive = kind === 'starved' ? starve(endless, random) : kind === 'end-stop' || kind === 'cut-out' ? base : endless;
  const presses: ScriptedPress[] = [];
  const count = kind === 'cut-out' ? 1 : 1 + Math.floor(random.next() * 5);
  let atS = random.between(0.25, 1.2);
  let sign: 1 | -1 = random.chance(0.85) ? 1 : -1;
  if (kind === 'end-stop' || kind === 'cut-out') sign = 1;
  const everyPress = random.chance(0.6);
  let x = 0;
  for (let p = 0; p < count; p++) {
    const settleS = 5 * drive.mechanicalS + 0.05;
    let lastS = settleS + random.between(0.3, 2.2);
    if (kind === 'taps') lastS = random.between(0.06, 0.3);
    if (kind === 'reversal') lastS = settleS + random.between(0.2, 0.8);
    let meets: Meets = FREE;
    const faulty = p === 0 || everyPress || random.chance(0.3);
    if (faulty || kind === 'light' || kind === 'heavy') meets = meet(kind, drive, runV, atS, lastS, random);
    if (kind === 'end-stop') lastS = (drive.travel - (sign > 0 ? x : drive.travel - x)) / (0.9 * runV) + settleS + random.between(0.3, 1.5);
    if (kind === 'cut-out') lastS = drive.travel / (0.9 * runV) + settleS + random.between(5.5, 8);
    if (kind === 'locked') lastS = random.between(0.15, 1.5);
    const breaks: [number, number][] = random.chance(0.3) ? chatter(atS, random) : [];
    if (kind === 'intermittent' && faulty) breaks.push(...lostContacts(atS + settleS, atS + lastS, random));
    if (kind === 'cut-out') {
      // four seconds is the shortest that the makers' manuals give (Toyota and Lexus seat motors: 4 to 90 s)
      const opens = atS + drive.travel / (0.9 * runV) + settleS + 4;
      breaks.push([opens, opens + random.between(0.4, 1.2)]);
    }
    presses.push({ onS: atS, offS: atS + lastS, sign, breaks, meets });
    const driven = sign * runV * lastS;
    x = kind === 'end-stop' ? Math.max(0, Math.min(drive.travel, x + driven)) : x + driven;
    atS += lastS + (kind === 'reversal' ? random.pick([0, 0.005, 0.02, 0.05, 0.15]) : random.between(0.4, 1.4));
    if (kind === 'end-stop' || kind === 'reversal' || random.chance(0.6)) sign = sign > 0 ? -1 : 1;
  }
  const durationS = atS + random.between(0.1, 0.8);
  const first = presses[0] as ScriptedPress;
  const last = presses[presses.length - 1] as ScriptedPress;
  const cutIn = 5 * drive.mechanicalS + 0.1;
  return {
    kind,
    drive,
    presses,
    durationS,
    fromS: kind === 'starts-midway' ? Math.min(first.onS + cutIn, first.offS - 0.12) : 0,
    toS: kind === 'ends-midway' ? last.onS + cutIn + (last.offS - last.onS - cutIn) * 0.6 : durationS,
    startX: drive.travel === ENDLESS ? ENDLESS / 2 : 0,
    limitsA: kind === 'heavy' || kind === 'light' || random.chance(0.3) ? [base.loadA * random.between(0.7, 0.8), base.loadA * random.between(1.2, 1.35)] : null,
    // with its only press cut by the recording a trace carries no finding
    finding: presses.length === 1 && kind.endsWith('-midway') ? 'unclear' : findingOfKind(kind),
    supply: kind === 'dead' ? 'dead-motor' : kind === 'unpowered' ? 'none' : 'up',
    needsVoltage: kind === 'starved' || kind === 'dead' || kind === 'unpowered',
  };
}

function starve(drive: Drive, random: Random): Drive {
  return { ...drive, sourceOhm: (drive.openV * random.between(0.28, 0.42)) / drive.loadA, motorOhm: Math.min(drive.motorOhm, (drive.openV * 0.3) / drive.loadA) };
}

function meet(kind: string, drive: Drive, runV: number, onS: number, lastS: number, random: Random): Meets {
  const settleS = 5 * drive.mechanicalS + 0.05;
  const ahead = (s: number): number => runV * (s - drive.mechanicalS);
  const stallA = drive.openV / (drive.motorOhm + drive.sourceOhm);
  switch (kind) {
    case 'jam':
      return { ...FREE, jam: { at: ahead(settleS + random.between(0.05, 0.6) * (lastS - settleS)), untilS: Infinity } };
    case 'jam-clears': {
      const at = settleS + 0.15 * (lastS - settleS);
      return { ...FREE, jam: { at: ahead(at), untilS: onS + at + random.between(0.15, 0.5) * (lastS - at) } };
    }
    case 'repeated-stalls': {
      return { ...FREE, jam: { at: ahead(settleS + 0.1), untilS: onS + settleS + 0.1 + 3 * drive.mechanicalS + random.between(0.12, 0.3) }, stuckUntilS: random.chance(0.5) ? onS + random.between(0.15, 0.3) : -1 };
    }
    case 'stuck-start':
      return { ...FREE, stuckUntilS: onS + random.between(0.15, 0.6) };
    case 'locked':
      return { ...FREE, locked: true };
    case 'patch': {
      const from = ahead(settleS + random.between(0.05, 0.3) * (lastS - settleS));
      const span = runV * (lastS - settleS) * random.between(0.08, 0.28);
      const extraA = (stallA - drive.loadA) * random.between(0.2, 0.55);
      return { ...FREE, patches: [{ from, to: from + span, extraA }] };
    }
    case 'heavy':
      return { ...FREE, loadFactor: Math.min(random.between(1.5, 2), (0.75 * stallA) / drive.loadA) };
    case 'light':
      return { ...FREE, loadFactor: random.between(0.3, 0.6) };
    default:
      return FREE;
  }
}

function chatter(onS: number, random: Random): [number, number][] {
  const breaks: [number, number][] = [];
  let atS = onS;
  for (let b = 0; b < 1 + random.next() * 3; b++) {
    atS += random.between(0.0004, 0.002);
    const endS = atS + random.between(0.0003, 0.0015);
    breaks.push([atS, endS]);
    atS = endS;
  }
  return breaks;
}

function lostContacts(fromS: number, toS: number, random: Random): [number, number][] {
  const breaks: [number, number][] = [];
  const count = 1 + Math.floor(random.next() * 4);
  const spacing = (toS - fromS) / (count + 1);
  for (let b = 0; b < count; b++) {
    const atS = fromS + spacing * (b + random.between(0.3, 0.7));
    breaks.push([atS, atS + Math.min(random.scale(0.015, 0.15), spacing * 0.3 + 0.01)]);
  }
  return breaks;
}

function findingOfKind(kind: string): string {
  switch (kind) {
    case 'end-stop':
    case 'jam':
    case 'jam-clears':
    case 'repeated-stalls':
    case 'stuck-start':
    case 'cut-out':
      return 'stalled';
    case 'locked':
    case 'heavy':
    case 'light':
    case 'intermittent':
    case 'starved':
    case 'dead':
    case 'unpowered':
      return kind;
    default:
      return 'normal';
  }
}
