import type { Mark } from '../../../../../src/core/trace.ts';
import type { Chance } from '../chance.ts';
import { carriesTruly, changeOf, promptly, pullAll, pullLabel, type Pulled } from '../fuses.ts';
import { recorded } from '../label.ts';
import { goodSensor } from '../sensor.ts';
import type { NightCase, NightLabel, NightSituation, Span } from '../types.ts';
import type { ParkedNight } from '../vehicle.ts';
import { drainA, lateS, yardNight } from './vehicles.ts';

interface Fuse {
  readonly label: string;
  readonly ampsA: number;
}

const NAMES = ['A3', 'A7', 'B2', 'B11', 'C4', 'C9'] as const;

/** Fuses of a box: the drain behind one of them, 6 to 12 mA of sleeping modules behind two, nothing behind the rest. */
function box(chance: Chance, night: ParkedNight, drain: number, count = 4): Fuse[] {
  const culprit = chance.whole(0, count - 1);
  const shareA = Math.min(0.3 * night.floorA, chance.between(0.006, 0.012));
  return NAMES.slice(0, count).map((label, index) => ({ label, ampsA: index === culprit ? drain : index % 2 === 0 ? shareA : 0 }));
}

function done(night: ParkedNight, marks: readonly Mark[], label: Partial<NightLabel>): NightCase {
  night.finish();
  return recorded(night, { sensor: goodSensor(night.chance), marks: [...marks].sort((left, right) => left.timeS - right.timeS), label: { averageA: null, tags: ['yard', 'yard pulls'], ...label } });
}

/** a pull or refit at a moment, marked a second or two after it */
function mark(chance: Chance, kind: 'pull' | 'refit', label: string, atS: number): Mark {
  return { timeS: atS + chance.between(0, 2), kind, label };
}

/** One fuse after the other: out so long after the last was back, and for so long, s. */
function inTurn(chance: Chance, fuses: readonly Fuse[], fromS: number, between: readonly [number, number] = [80, 140], out: readonly [number, number] = [60, 120]): Span[] {
  let atS = fromS;
  return fuses.map(() => { const outS = (atS += chance.between(...between)); return { fromS: outS, toS: (atS += chance.between(...out)) }; });
}

/** A night with a drain, long enough at rest before the fuses are pulled and `forS` of it left for them. */
function drained(chance: Chance, forS: number, drain = drainA(chance)): { drain: number; startS: number; night: ParkedNight } {
  const startS = lateS(chance);
  return { drain, startS, night: yardNight(chance, { hours: (startS + forS) / 3600, extraA: drain }) };
}

/** Each fuse out over its own stretch, which may overlap the others'; all at rest. */
function outs(chance: Chance, night: ParkedNight, fuses: readonly Fuse[], spans: readonly Span[]): { marks: Mark[]; label: Partial<NightLabel> } {
  const marks: Mark[] = [];
  fuses.forEach((fuse, index) => {
    const span = spans[index]!;
    night.wave.box(span.fromS, span.toS, -fuse.ampsA);
    if (fuse.ampsA > 0) night.wave.decay(span.toS, span.toS + 1, chance.between(0.5, 4), chance.between(0.001, 0.008));
    marks.push(mark(chance, 'pull', fuse.label, span.fromS));
    if (span.toS < night.durationS) marks.push(mark(chance, 'refit', fuse.label, span.toS));
  });
  const pulls = fuses.map((fuse) => { const change = { meanA: -fuse.ampsA, floorA: -fuse.ampsA }; return { label: fuse.label, change, right: carriesTruly(change) }; });
  const left = night.floorA - fuses.reduce((sum, fuse) => sum + fuse.ampsA, 0);
  const dips = spans.map((span) => ({ fromS: span.fromS - 30, toS: Math.min(night.durationS, span.toS) + 30 }));
  return { marks, label: { pulls, dips, stirred: [...night.stirred, ...dips], unexplained: { level: { meanA: left, floorA: left }, must: true } } };
}

export const yardPulls: readonly NightSituation[] = [
  {
    name: 'refitted-out-of-order',
    line: 'four fuses are pulled one after another, and put back in another order once all are out; each deed is marked',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 1800);
      const fuses = box(chance, night, drain);
      let atS = startS;
      const from = fuses.map(() => (atS += chance.between(60, 120)));
      const order = [2, 0, 3, 1];
      const to: number[] = [];
      for (const index of order) to[index] = atS += chance.between(60, 120);
      const { marks, label } = outs(chance, night, fuses, fuses.map((_, index) => ({ fromS: from[index]!, toS: to[index]! })));
      return done(night, marks, label);
    },
  },
  {
    name: 'both-of-a-pair',
    line: 'one module is fed through two fuses: the first pulled changes nothing, the second, with the first still out, everything',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 1500);
      const first = { fromS: startS, toS: startS + chance.between(300, 400) };
      const second = { fromS: startS + chance.between(100, 200), toS: first.toS + chance.between(100, 200) };
      // with both out nothing flows; the first one back brings all of it back
      night.wave.box(second.fromS, first.toS, -drain);
      const marks = [mark(chance, 'pull', 'A3', first.fromS), mark(chance, 'pull', 'B2', second.fromS), mark(chance, 'refit', 'A3', first.toS), mark(chance, 'refit', 'B2', second.toS)];
      const nothing = { meanA: 0, floorA: 0 };
      const dips = [{ fromS: startS - 30, toS: second.toS + 30 }];
      return done(night, marks, {
        // taken alone neither changes anything, and the first step down came with the second fuse: its figure may be either
        pulls: [{ label: 'A3', change: nothing, right: [false, null] }, { label: 'B2', change: { meanA: -drain, floorA: 0 }, right: [true, false, null] }],
        dips, stirred: dips, unexplained: null,
      });
    },
  },
  {
    name: 'marked-twice',
    line: 'the button is tapped twice: every pull and every refit carries two marks, some seconds apart',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 1800);
      const fuses = box(chance, night, drain);
      const spans = inTurn(chance, fuses, startS);
      const { marks, label } = outs(chance, night, fuses, spans);
      const again = marks.map((one) => ({ ...one, timeS: one.timeS + chance.between(1, 5) }));
      return done(night, [...marks, ...again], label);
    },
  },
  {
    name: 'marks-exchanged',
    line: 'the technician taps refit as he pulls and pull as he refits: the marks are the wrong way round, evenly',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 1800);
      const fuses = box(chance, night, drain, 3);
      const spans = inTurn(chance, fuses, startS, [100, 160], [80, 140]);
      const { marks, label } = outs(chance, night, fuses, spans);
      const turned = marks.map((one): Mark => ({ ...one, kind: one.kind === 'pull' ? 'refit' : 'pull' }));
      // what the marks say cannot be placed; to find out the truth all the same is right too
      return done(night, turned, { ...label, pulls: label.pulls!.map((pull) => ({ ...pull, right: [...pull.right, null] })), unexplained: null });
    },
  },
  {
    name: 'unfused-drain',
    line: 'the drain needs no fuse of the box (a diode of the alternator): four pulls, and none of them changes anything to speak of',
    make: (chance) => {
      const { startS, night } = drained(chance, 1800);
      const fuses = box(chance, night, 0);
      const spans = inTurn(chance, fuses, startS);
      const { marks, label } = outs(chance, night, fuses, spans);
      return done(night, marks, label);
    },
  },
  {
    name: 'pull-cures',
    line: 'a module hangs and drains; its fuse is pulled, and once refitted it boots, sleeps and draws nothing any more',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 3600);
      const fromS = startS + 30;
      const toS = fromS + chance.between(60, 150);
      night.wave.box(fromS, night.durationS, -drain);
      const bootS = chance.between(8, 40);
      night.wave.box(toS, toS + bootS, chance.between(0.2, 0.6));
      const change = { meanA: -drain, floorA: -drain };
      const dips = [{ fromS: fromS - 30, toS: toS + bootS + 30 }];
      return done(night, [mark(chance, 'pull', 'B2', fromS), mark(chance, 'refit', 'B2', toS)], {
        right: ['drain', 'asleep', 'awake', 'unclear'], honest: ['too-short'], overLimit: [true, false, null],
        // before and after are both true
        asleep: { begins: [...night.rests().map((rest) => ({ fromS: rest.earliestS, toS: rest.beginS })), { fromS, toS: toS + bootS + 60 }], level: { meanA: night.floorA, floorA: night.floorA - drain }, must: false },
        pulls: [{ label: 'B2', change, right: [true, null] }], dips, stirred: dips, unexplained: null,
      });
    },
  },
  {
    name: 'bonnet-lamp-while-pulling',
    line: 'the bonnet\'s lamp of 5 to 10 W burns while the fuses are pulled, and until it is shut again',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 3600, chance.yes() ? drainA(chance) : 0);
      const fuses = box(chance, night, drain);
      const spans = inTurn(chance, fuses, startS + 60);
      const shutS = spans.at(-1)!.toS + 100;
      night.lamp(startS, shutS, chance.between(0.4, 0.8));
      night.stirred.push({ fromS: startS, toS: shutS });
      const { marks, label } = outs(chance, night, fuses, spans);
      return done(night, marks, { ...label, pulls: label.pulls!.map((pull) => ({ ...pull, right: [...pull.right, null] })), unexplained: null });
    },
  },
  {
    name: 'wake-up-during-a-pull',
    line: 'a control unit wakes by itself while a fuse is out, and is awake still as the fuse goes back',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 2400);
      const fuses = box(chance, night, drain, 3).map((fuse) => ({ label: fuse.label, restA: fuse.ampsA }));
      const pulled: Pulled = pullAll(night, fuses, startS, { ...promptly(chance), outS: () => chance.between(60, 120), betweenS: () => chance.between(240, 300), bootS: () => 0 });
      const hit = chance.whole(0, 2);
      const out = pulled.outs[hit]!;
      const wakeS = out.fromS + (out.toS - out.fromS) * chance.between(0.05, 0.5);
      night.wave.box(wakeS, out.toS + chance.between(20, 90), chance.logBetween(0.08, 0.6));
      const label = pullLabel(night, pulled);
      return done(night, pulled.marks, {
        ...label, pulls: pulled.pulls.map((pull, index) => (index === hit ? { ...pull, change: changeOf(fuses[index]!), right: [...pull.right, null] } : pull)),
        stirred: [...label.stirred!, { fromS: wakeS - 5, toS: out.toS + 100 }], unexplained: null,
      });
    },
  },
  {
    name: 'marks-an-hour-off',
    line: 'the clock of the tablet is an hour behind the logger\'s: every mark lies where nothing was pulled',
    make: (chance) => {
      const drain = drainA(chance);
      const startS = lateS(chance) + 3600;
      const night = yardNight(chance, { hours: (startS + 1800) / 3600, extraA: drain });
      const fuses = box(chance, night, drain);
      const spans = inTurn(chance, fuses, startS);
      const { marks, label } = outs(chance, night, fuses, spans);
      const offered = fuses.flatMap((fuse, index) => (fuse.ampsA > 0.01 ? [{ ...spans[index]!, change: { meanA: -fuse.ampsA, floorA: -fuse.ampsA } }] : []));
      // a mark at which nothing happens proves nothing of the fuse it names; what was pulled an hour later is an unmarked pull
      return done(night, marks.map((one) => ({ ...one, timeS: one.timeS - 3600 })), { ...label, pulls: label.pulls!.map((pull) => ({ ...pull, right: [...pull.right, null] })), possiblePulls: offered, unexplained: null });
    },
  },
  {
    name: 'fuse-wiggled',
    line: 'the fuses sit tight and are wiggled out and in: each contact opens and closes several times within a second or two',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 1800);
      const fuses = box(chance, night, drain);
      const spans = inTurn(chance, fuses, startS);
      fuses.forEach((fuse, index) => {
        for (const edgeS of [spans[index]!.fromS - 2, spans[index]!.toS + 0.3]) for (let k = chance.whole(2, 4); k > 0; k--) { const onS = edgeS + chance.between(0, 1.5); night.wave.box(onS, onS + chance.between(0.05, 0.3), -fuse.ampsA); }
      });
      const { marks, label } = outs(chance, night, fuses, spans);
      return done(night, marks, label);
    },
  },
  {
    name: 'pulled-again',
    line: 'to be sure, the technician pulls every fuse a second time, a quarter of an hour after the first',
    make: (chance) => {
      const { drain, startS, night } = drained(chance, 3000);
      const fuses = box(chance, night, drain, 3);
      const round = (fromS: number): ReturnType<typeof outs> => outs(chance, night, fuses, inTurn(chance, fuses, fromS, [80, 130], [60, 110]));
      const [first, second] = [round(startS), round(startS + 1000)];
      return done(night, [...first.marks, ...second.marks], { ...first.label, dips: [...first.label.dips!, ...second.label.dips!], stirred: [...first.label.stirred!, ...second.label.stirred!] });
    },
  },
];
