import { once } from 'node:events';
import { must, wait, type Attack, type Figure } from './attack.ts';
import { Person } from './person.ts';
import { startChild, startVictim, type Usage, type Victim } from './victim.ts';

/** Common practice, no published source: a page that stands still for longer makes a person press again. */
const LONGEST_SILENCE_MS = 2000;
/** the same for a person who waits for an answer and sees that it is waited for */
const SLOWEST_ANSWER_MS = 5000;
/** twice what is seen: it goes up and down with what is not collected yet, and comes back (measured over 56,000 connections) */
const MOST_GROWTH_MB = 250;
const ASK_EVERY_MS = 150;

const KINDS = ['requests', 'wrong-keys', 'half-open', 'unjoined', 'garbage'] as const;

/** Strangers in their hundreds, one kind after the other, while a person watches, records and opens pages. */
export const floods: Attack = {
  name: 'floods',
  share: 0.4,
  async run({ forMs, folder }) {
    const victim = await startVictim(folder, 'sim:side-step-healthy');
    try {
      const figures: Figure[] = [];
      for (const kind of KINDS) figures.push(...(await flood(kind, victim, forMs / KINDS.length)).map((figure) => ({ ...figure, what: `${kind}: ${figure.what}` })));
      return figures;
    } finally {
      await victim.stop();
    }
  },
};

async function flood(kind: string, victim: Victim, forMs: number): Promise<Figure[]> {
  const person = await Person.join(victim);
  await person.until(() => person.frames > 3);
  const before = victim.usage();
  const stopRecording = await person.record();
  const crowd = startChild('flood', [kind, String(victim.port), victim.viewToken]);
  await once(crowd, 'message');
  const asked = await workAmong(victim, person, forMs);
  const reported = once(crowd, 'message');
  crowd.send('end');
  const [did] = (await reported) as [Record<string, number>];
  const { record } = await stopRecording();
  const silenceMs = person.longestSilenceMs;
  person.leave();
  return [
    ...work(did, forMs),
    ...asked,
    must('gaps in what was recorded', record.gaps.length, '', '0', record.gaps.length === 0),
    must('samples recorded', record.samples, '', '> 0', record.samples > 0),
    must('longest time without a frame', silenceMs, 'ms', `<= ${LONGEST_SILENCE_MS}`, silenceMs <= LONGEST_SILENCE_MS, true),
    ...cost(before, victim.usage(), forMs),
  ];
}

function cost(before: Usage | null, after: Usage | null, forMs: number): Figure[] {
  if (before === null || after === null) return [];
  const grownMb = after.memoryMb - before.memoryMb;
  return [
    must('memory grown by', grownMb, 'MB', `<= ${MOST_GROWTH_MB}`, grownMb <= MOST_GROWTH_MB, true),
    { what: 'processor used', value: ((after.cpuS - before.cpuS) * 1e5) / forMs, unit: '% of a core' },
  ];
}

/** What the flood did, in a second. */
function work(did: Readonly<Record<string, number>>, forMs: number): Figure[] {
  return Object.entries(did).map(([what, count]) => ({ what: `its ${what}`, value: (count * 1000) / forMs, unit: '1/s' }));
}

/** Asks, and opens pages, again and again; counts what is answered. */
async function workAmong(victim: Victim, person: Person, forMs: number): Promise<Figure[]> {
  const endMs = performance.now() + forMs;
  const tookMs: number[] = [];
  let answered = 0;
  let joined = 0;
  let tries = 0;
  while (performance.now() < endMs) {
    tries++;
    const startMs = performance.now();
    const response = await person.ask('/api/traces').catch(() => null);
    if (response?.status === 200) answered++;
    await response?.arrayBuffer();
    tookMs.push(performance.now() - startMs);
    const page = await Person.open(victim);
    if (page !== null) joined++;
    page?.leave();
    await wait(ASK_EVERY_MS);
  }
  tookMs.sort((a, b) => a - b);
  const slowestMs = tookMs[Math.floor(tookMs.length * 0.99)] ?? 0;
  return [
    must("the person's requests answered", (100 * answered) / tries, `% of ${tries}`, '100', answered === tries),
    must('pages that could be opened', (100 * joined) / tries, `% of ${tries}`, '>= 95', joined >= tries * 0.95),
    must('the watching page was pushed out', person.closed ? 1 : 0, '', '0', !person.closed),
    must('slowest answer in a hundred', slowestMs, 'ms', `<= ${SLOWEST_ANSWER_MS}`, slowestMs <= SLOWEST_ANSWER_MS, true),
  ];
}
