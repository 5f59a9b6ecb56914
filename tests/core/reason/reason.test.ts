import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { caseFileOf, type Case } from '../../../src/core/reason/case.ts';
import { CHECKS } from '../../../src/core/reason/checks.ts';
import type { Evidence } from '../../../src/core/reason/evidence.ts';
import { nextStep } from '../../../src/core/reason/next.ts';
import { observeReadings } from '../../../src/core/reason/observe-readings.ts';
import { pointOf } from '../../../src/core/reason/points.ts';
import { readCase } from '../../../src/core/reason/read-case.ts';
import { SOURCES } from '../../../src/core/reason/table/sources.ts';
import { DRAIN_ROWS } from '../../../src/core/reason/table/drain.ts';
import { MOTOR_ROWS } from '../../../src/core/reason/table/motor.ts';
import { READING_ROWS } from '../../../src/core/reason/table/readings.ts';
import { SIGN_ROWS } from '../../../src/core/reason/table/signs.ts';
import { entryOf, type ObservationCode } from '../../../src/core/reason/table/table.ts';
import { causesOf, POINTS, SIGNS, type Cause, type Moment, type Point } from '../../../src/core/reason/types.ts';
import { whatIsLeft } from '../../../src/core/reason/weigh.ts';
import { VEHICLES } from './cases.ts';
import { tried } from './vehicles.ts';

const OBSERVATIONS = Object.keys({ ...SIGN_ROWS, ...MOTOR_ROWS, ...DRAIN_ROWS, ...READING_ROWS }) as ObservationCode[];
const test = fc.constantFrom('actuation' as const, 'drain' as const);
/** Evidence as it comes: a sign, a trace or volts, whatever it says. */
const evidence = fc.record({ observation: fc.constantFrom(...OBSERVATIONS), kind: fc.constantFrom('sign', 'result', 'reading'), trace: fc.constantFrom('1', '2', '3') }).map(({ observation, kind, trace }): Evidence => {
  const [sign, answer] = observation.split(':');
  if (SIGNS.some((known) => known === sign)) return { observation, origin: { kind: 'sign', sign: sign as (typeof SIGNS)[number], answer: answer as 'yes' | 'no' } };
  return kind === 'reading' ? { observation, origin: { kind: 'reading', readings: [{ point: 'battery', v: 12, while: 'pressed' }] } } : { observation, origin: { kind: 'result', trace, said: '' } };
});
const RANK = { open: 0, 'less-likely': 1, 'ruled-out': 2 };

describe('the table', () => {
  it('has an entry with a source for every observation and every cause', () => {
    for (const observation of OBSERVATIONS) {
      for (const cause of [...causesOf('actuation'), ...causesOf('drain')]) {
        const { effect, source } = entryOf(observation, cause);
        expect(['rules-out', 'against', 'nothing', 'for']).toContain(effect);
        expect(SOURCES[source].length).toBeGreaterThan(10);
      }
    }
  });

  it('has no row that nothing in the reasoning ever sees: a new one without its place would never count', () => {
    const folder = 'src/core/reason';
    const seen = readdirSync(folder).filter((name) => name.endsWith('.ts')).map((name) => readFileSync(`${folder}/${name}`, 'utf8')).join('\n');
    // two findings of a motor's trace are observations of the same name
    const byName: ReadonlySet<string> = new Set(['dead', 'unpowered']);
    const unseen = Object.keys({ ...MOTOR_ROWS, ...DRAIN_ROWS, ...READING_ROWS }).filter((code) => !byName.has(code) && !code.startsWith('volts-at-') && !seen.includes(`'${code}'`));
    expect(unseen).toEqual([]);
  });

  it('says one thing about a cause: no row has it twice', () => {
    for (const observation of OBSERVATIONS) {
      const row = [...causesOf('actuation'), ...causesOf('drain')].map((cause) => entryOf(observation, cause).effect);
      expect(row).toHaveLength(14);
    }
  });
});

describe('what is left', () => {
  it('does not depend on the order of the evidence', () => {
    fc.assert(fc.property(test, fc.array(evidence, { maxLength: 8 }), fc.infiniteStream(fc.nat()), (kind, list, order) => {
      const shuffled = list.map((piece) => ({ piece, key: order.next().value as number })).sort((a, b) => a.key - b.key).map(({ piece }) => piece);
      expect(whatIsLeft({ test: kind, evidence: shuffled, clash: null })).toEqual(whatIsLeft({ test: kind, evidence: list, clash: null }));
    }));
  });

  it('never lowers a cause by evidence for it', () => {
    fc.assert(fc.property(test, fc.array(evidence, { maxLength: 8 }), evidence, (kind, list, more) => {
      const before = whatIsLeft({ test: kind, evidence: list, clash: null }).causes;
      const after = whatIsLeft({ test: kind, evidence: [...list, more], clash: null }).causes;
      for (const { cause, state } of before) {
        if (entryOf(more.observation, cause).effect !== 'for') continue;
        const now = after.find((one) => one.cause === cause)!;
        expect(RANK[now.state], `${cause} after ${more.observation}`).toBeLessThanOrEqual(RANK[state]);
      }
    }), { numRuns: 500 });
  });

  it('never rules everything out: two pieces of evidence that contradict each other are named instead', () => {
    fc.assert(fc.property(test, fc.array(evidence, { maxLength: 12 }), (kind, list) => {
      const { causes, contradiction } = whatIsLeft({ test: kind, evidence: list, clash: null });
      expect(causes.some(({ state }) => state !== 'ruled-out')).toBe(true);
      const allOut = causesOf(kind).every((cause) => list.some(({ observation }) => entryOf(observation, cause).effect === 'rules-out'));
      expect(contradiction === null).toBe(!allOut);
      if (contradiction !== null) for (const piece of contradiction) expect(list).toContainEqual(piece);
    }), { numRuns: 500 });
  });

  it('asks to verify one of two things that cannot hold together: a short in the harness, and a harness that loses nothing', () => {
    const now: Case = { test: 'actuation', signs: { 'blows-unplugged': 'yes' }, seen: [{ observation: 'dead', trace: '1', said: '' }], readings: [{ point: 'motor-plus', v: 12.4, while: 'pressed' }, { point: 'motor-minus', v: 0.05, while: 'pressed' }, { point: 'fuse-out', v: 12.4, while: 'pressed' }, { point: 'switch-in', v: 12.4, while: 'pressed' }, { point: 'switch-out', v: 12.4, while: 'pressed' }] };
    const left = whatIsLeft(caseFileOf(now));
    expect(left.contradiction).not.toBeNull();
    const step = nextStep(now, left);
    expect(step?.kind).toBe('verify');
    expect(step?.decides.every(({ leaves }) => leaves.length > 0)).toBe(true);
  });

  it('never rules out the fault that a vehicle has, whatever is tried on it in whatever order', () => {
    for (const vehicle of VEHICLES) {
      const possible = CHECKS.filter((check) => check.test === vehicle.test && check.code !== 'reversal').map(({ code }) => code);
      fc.assert(fc.property(fc.shuffledSubarray(possible), (codes) => {
        let now: Case = { test: vehicle.test, signs: vehicle.complaint, seen: [], readings: [] };
        for (const code of codes) {
          if (CHECKS.find((check) => check.code === code)!.open(now)) now = tried(now, vehicle, code);
          const truth = whatIsLeft(caseFileOf(now)).causes.find(({ cause }) => cause === vehicle.truth)!;
          expect(truth.state, `${vehicle.name} after ${codes.join(', ')}: ${JSON.stringify(truth.reasons.filter(({ effect }) => effect === 'rules-out'))}`).not.toBe('ruled-out');
        }
      }), { numRuns: 30 });
    }
  });
});

describe('the weight of evidence, by hand', () => {
  const sign = (name: (typeof SIGNS)[number], answer: 'yes' | 'no' = 'yes'): Evidence => ({ observation: `${name}:${answer}` as ObservationCode, origin: { kind: 'sign', sign: name, answer } });
  const seen = (observation: ObservationCode, trace = '1'): Evidence => ({ observation, origin: { kind: 'result', trace, said: '' } });
  const left = (...list: Evidence[]) => whatIsLeft({ test: 'actuation', evidence: list, clash: null });
  const lines = (...list: Evidence[]): string[] => left(...list).causes.map(({ cause, state, score, outweighedBy }) => `${cause} ${state} ${score}${outweighedBy === null ? '' : ` by ${outweighedBy}`}`);

  it('is two for what was measured or tried, one for what was seen, once for each observation', () => {
    // it hums: for mechanism and motor, against fuse, switch, module and drive. Locked, by a trace: for the same two, against the whole feed
    const hummingAndLocked = ['mechanism open 3', 'motor open 3', 'wiring less-likely -2', 'ground less-likely -2', 'fuse-or-feed less-likely -3', 'switch less-likely -3', 'control-module less-likely -3', 'motor-cut-out ruled-out 0', 'broken-drive ruled-out -1'];
    expect(lines(sign('hums'), seen('locked'))).toEqual(hummingAndLocked);
    expect(lines(sign('hums'), seen('locked'), seen('locked', '2'))).toEqual(hummingAndLocked);
    expect(left(seen('locked'), seen('locked', '2')).causes[0]!.reasons).toHaveLength(2);
  });

  it('makes less likely what another one leads by two, where something measured or tried speaks for that', () => {
    // moved by hand it is stiff: for the mechanism, against the drive, nothing of the others
    expect(lines(sign('moves-by-hand', 'no'))).toEqual(['mechanism open 2', ...['fuse-or-feed', 'switch', 'wiring', 'ground', 'motor', 'motor-cut-out', 'control-module'].map((cause) => `${cause} less-likely 0 by mechanism`), 'broken-drive less-likely -2']);
    // what is only seen never outweighs: hums and blows its fuse
    expect(lines(sign('hums'), sign('blows-fuse')).slice(0, 3)).toEqual(['mechanism open 2', 'motor open 2', 'wiring open 1']);
    // moves a little as well as locked: mechanism 3, motor 2, one apart; wiring and ground 1 - 2
    expect(lines(sign('moves-a-little'), seen('locked')).slice(0, 3)).toEqual(['mechanism open 3', 'motor open 2', 'wiring less-likely -1']);
  });

  it('names of what cannot hold together the two that rule out most between them', () => {
    // dead leaves wiring, ground, motor and its cut-out; blown unplugged leaves wiring; not running fed directly leaves motor, its cut-out, mechanism and drive.
    // The first two rule out eight, first and last seven, the last two all nine
    const all = [seen('dead'), sign('blows-unplugged'), sign('runs-fed-directly', 'no')];
    const { contradiction, causes } = left(...all);
    expect(contradiction!.map(({ observation }) => observation).sort()).toEqual(['blows-unplugged:yes', 'runs-fed-directly:no']);
    expect(new Set(causes.map(({ state }) => state))).toEqual(new Set(['less-likely']));
    const clash = [sign('hums'), sign('no-sound')] as const;
    expect(whatIsLeft({ test: 'actuation', evidence: [], clash }).contradiction).toBe(clash);
  });
});

describe('the next check', () => {
  it('says what each of its results leaves: tried by hand, stiff leaves the mechanism, free leaves all else', () => {
    const now: Case = { test: 'actuation', signs: {}, seen: [], readings: [] };
    const step = nextStep(now, whatIsLeft(caseFileOf(now)), ({ code }) => code === 'by-hand');
    expect(step).toMatchObject({ kind: 'check', check: { code: 'by-hand' }, decides: [{ outcome: 'yes', leaves: ['fuse-or-feed', 'switch', 'wiring', 'ground', 'motor', 'broken-drive', 'motor-cut-out', 'control-module'] }, { outcome: 'no', leaves: ['mechanism'] }] });
    expect(nextStep(now, whatIsLeft(caseFileOf(now)), () => false)).toBeNull();
  });

  it('is none once something tried leaves one cause, and still one while that was only seen', () => {
    const stiff: Case = { test: 'actuation', signs: { 'moves-by-hand': 'no' }, seen: [], readings: [] };
    expect(nextStep(stiff, whatIsLeft(caseFileOf(stiff)))).toBeNull();
    const heard: Case = { test: 'actuation', signs: { 'same-fuse-dead': 'yes', 'other-side-works': 'no' }, seen: [], readings: [] };
    expect(nextStep(heard, whatIsLeft(caseFileOf(heard)))).not.toBeNull();
  });

  it('where two things cannot both hold says what each leaves without the other', () => {
    const now: Case = { test: 'actuation', signs: { 'blows-unplugged': 'yes', 'runs-fed-directly': 'no' }, seen: [{ observation: 'dead', trace: '1', said: '' }], readings: [] };
    const step = nextStep(now, whatIsLeft(caseFileOf(now)));
    expect(step?.kind).toBe('verify');
    if (step?.kind !== 'verify') return;
    const leaves = Object.fromEntries(step.decides.map(({ leaves: causes }, at) => [step.pair[at]!.observation, causes]));
    // dead and blown unplugged leave the wiring; dead and not running fed directly the motor and its cut-out
    expect(leaves).toEqual({ 'blows-unplugged:yes': ['wiring'], 'runs-fed-directly:no': ['motor', 'motor-cut-out'] });
  });

  it('always leaves something, whatever its result, and is never one that was done', () => {
    for (const vehicle of VEHICLES) {
      let now: Case = { test: vehicle.test, signs: vehicle.complaint, seen: [], readings: [] };
      const done = new Set<string>();
      for (let round = 0; round < CHECKS.length; round++) {
        const step = nextStep(now, whatIsLeft(caseFileOf(now)));
        if (step === null || step.kind === 'verify') break;
        expect(done).not.toContain(step.check.code);
        done.add(step.check.code);
        for (const { leaves } of step.decides) expect(leaves.length).toBeGreaterThan(0);
        now = tried(now, vehicle, step.check.code);
      }
    }
  });

  it('is the cheap look before anything is unplugged or taken off, when only a complaint is known', () => {
    const now: Case = { test: 'actuation', signs: {}, seen: [], readings: [] };
    const step = nextStep(now, whatIsLeft(caseFileOf(now)));
    expect(step?.kind === 'check' ? step.check.cost : Infinity).toBeLessThanOrEqual(2.5);
  });
});

describe('volts at points', () => {
  const says = (volts: Partial<Record<Point, number>>, moment: Moment = 'pressed'): string[] =>
    observeReadings(Object.entries(volts).map(([point, v]) => ({ point: point as Point, v, while: moment }))).evidence.map(({ observation }) => observation);

  it('find the section that loses them', () => {
    expect(says({ 'fuse-in': 12.5, 'fuse-out': 0 })).toEqual(['lost-in-fuse']);
    expect(says({ 'switch-in': 12.4, 'switch-out': 0.1 })).toContain('lost-in-switch');
    expect(says({ battery: 12.6, 'motor-plus': 0 })).toEqual(['lost-before-motor']);
    expect(says({ battery: 12.6, 'fuse-out': 12.5, 'switch-in': 12.4, 'switch-out': 12.3, 'motor-plus': 9 })).toContain('lost-in-module-or-wiring');
    expect(says({ 'motor-plus': 12.3, 'motor-minus': 11 })).toContain('volts-on-motor-minus');
    expect(says({ 'motor-plus': 12.3, 'motor-minus': 4, ground: 3.9 })).toContain('volts-on-ground');
    expect(says({ 'motor-plus': 12.3, 'motor-minus': 4, ground: 0.1 })).toContain('lost-motor-to-ground');
    expect(says({ 'motor-plus': 12.3, 'motor-minus': 0.1 })).toContain('way-back-good');
  });

  it('stand on the edge: 0.5 V in a section and 1 V in all are still good (Kia Sportage 1997, BMW 325ix 1991)', () => {
    expect(says({ battery: 12.6, 'motor-plus': 11.6 })).toEqual(['volts-at-motor-plus']);
    expect(says({ battery: 12.6, 'motor-plus': 11.59 })).toEqual(['lost-before-motor']);
  });

  it('say nothing of the way back while the motor is not fed', () => {
    expect(says({ 'motor-plus': 0, 'motor-minus': 0 })).not.toContain('way-back-good');
  });

  it('prove little at an open switch, and as much as ever when they are missing there', () => {
    expect(says({ 'fuse-out': 12.5 }, 'released')).toEqual(['volts-unloaded']);
    expect(says({ 'fuse-in': 12.5, 'fuse-out': 0 }, 'released')).toContain('lost-in-fuse');
    expect(says({ 'motor-plus': 0 }, 'released')).toEqual([]);
    // a point read with the switch held says it all
    const both = (['released', 'pressed'] as const).map((moment) => ({ point: 'fuse-out', v: 12.5, while: moment } as const));
    expect(observeReadings(both).evidence.map(({ observation }) => observation)).toEqual(['volts-at-fuse-out']);
  });

  it('are those of 24 V where any is above what a 12 V system has', () => {
    expect(says({ battery: 25, 'motor-plus': 12 })).toEqual(['lost-before-motor']);
    expect(says({ battery: 28.4 }, 'running')).toEqual(['charges']);
    expect(says({ battery: 12.4 }, 'running')).toEqual(['charges-too-little']);
    expect(says({ battery: 12.7 }, 'parked')).toEqual(['rested-full']);
  });

  it('of one point that differ by more than a volt are named and left out', () => {
    const { evidence: left, clash } = observeReadings([{ point: 'fuse-out', v: 0, while: 'pressed' }, { point: 'fuse-out', v: 12.4, while: 'pressed' }]);
    expect(left).toEqual([]);
    expect(clash).not.toBeNull();
  });

  it('are read at points however they are written, and refused at others', () => {
    for (const point of POINTS) expect(pointOf(point.toUpperCase().replace('-', ' '))).toBe(point);
    for (const [word, point] of [['motor +', 'motor-plus'], ['Motor -', 'motor-minus'], ['motor_plus', 'motor-plus'], ['battery post', 'battery'], ['earth', 'ground'], ['fuse out', 'fuse-out']] as const) expect(pointOf(word), word).toBe(point);
    expect(pointOf('somewhere')).toBeNull();
  });
});

describe('a case from outside', () => {
  const error = (value: unknown): string => {
    const read = readCase(value);
    return read.ok ? '' : read.error;
  };

  it('is refused with the place and what is allowed there', () => {
    expect(error(null)).toMatch(/not a JSON object/);
    expect(error({ test: 'motor' })).toMatch(/test says "motor"/);
    expect(error({ test: 'drain', signs: { humms: 'yes' } })).toMatch(/signs\.humms is not a known sign\. Known are moves-a-little/);
    expect(error({ test: 'drain', signs: { hums: 'maybe' } })).toMatch(/signs\.hums says "maybe"/);
    expect(error({ test: 'actuation', readings: [{ point: 'bonnet', v: 12 }] })).toMatch(/readings\[0\]\.point says "bonnet".*Known are battery/);
    expect(error({ test: 'actuation', readings: [{ point: 'ground', v: '12' }] })).toMatch(/readings\[0\]\.v says "12"/);
    expect(error({ test: 'actuation', readings: [{ point: 'ground', v: 1, while: 'sometimes' }] })).toMatch(/while says "sometimes"/);
    expect(error({ test: 'actuation', results: [{}] })).toMatch(/results\[0\]: it has no verdict\.finding/);
    expect(error({ test: 'actuation', results: [{ verdict: { finding: 'broken' } }] })).toMatch(/none of normal, suspect/);
    expect(error({ test: 'actuation', results: [{ test: 'actuation', verdict: { finding: 'asleep' } }] })).toMatch(/does not belong to the test "actuation"/);
    expect(error({ test: 'actuation', reversal: { forward: {} } })).toMatch(/a_v and b_v/);
  });

  it('needs nothing but its test, and leaves out results of the other kind', () => {
    const read = readCase({ test: 'actuation', results: [{ test: 'drain', verdict: { finding: 'asleep' } }] });
    expect(read).toMatchObject({ ok: true, leftOut: ['1'] });
  });

  it('never throws, whatever it holds', () => {
    fc.assert(fc.property(fc.anything(), (value) => void readCase(value)));
    fc.assert(fc.property(fc.record({ test, signs: fc.anything(), results: fc.anything(), readings: fc.anything() }), (value) => void readCase(value)));
  });
});

describe('what one finding says of the causes (contract, section 3.1)', () => {
  const stateAfter = (document: Record<string, unknown>): Partial<Record<Cause, string>> => {
    const read = readCase({ test: 'actuation', results: [document] });
    if (!read.ok) throw new Error(read.error);
    return Object.fromEntries(whatIsLeft(caseFileOf(read.case)).causes.map(({ cause, state }) => [cause, state]));
  };

  it('dead: volts at the motor and no current clear everything before it', () => {
    const state = stateAfter({ verdict: { finding: 'dead' } });
    for (const cause of ['fuse-or-feed', 'switch', 'control-module', 'mechanism', 'broken-drive'] as const) expect(state[cause]).toBe('ruled-out');
    for (const cause of ['motor', 'motor-cut-out', 'ground', 'wiring'] as const) expect(state[cause]).toBe('open');
  });

  it('locked: current flows, so no cut-out is open and nothing is uncoupled', () => {
    expect(stateAfter({ verdict: { finding: 'locked' } })).toMatchObject({ 'motor-cut-out': 'ruled-out', 'broken-drive': 'ruled-out', mechanism: 'open', motor: 'open' });
  });

  it.each([
    ['hardly any load for its own stall current', { actuations: [{ run: { median_a: 0.4 }, inrush: { fit: { standstill_a: 20 } } }] }, 'broken-drive'],
    ['near its own stall current', { actuations: [{ run: { median_a: 15 }, inrush: { fit: { standstill_a: 20 } } }] }, 'mechanism'],
    ['one commutation low', { actuations: [{ bad_commutation: { depth_a: 1 } }] }, 'motor'],
    ['one way much harder', { actuations: [], asymmetry: { run_ratio: 4 } }, 'mechanism'],
  ] as const)('suspect, %s: the likeliest cause follows from what it was', (_name, more, cause) => {
    const read = readCase({ test: 'actuation', results: [{ verdict: { finding: 'suspect' }, ...more }] });
    if (!read.ok) throw new Error(read.error);
    expect(whatIsLeft(caseFileOf(read.case)).causes[0]?.cause).toBe(cause);
  });

  it('unclear and too little say nothing', () => {
    expect(new Set(Object.values(stateAfter({ verdict: { finding: 'unclear' } })))).toEqual(new Set(['open']));
  });
});
