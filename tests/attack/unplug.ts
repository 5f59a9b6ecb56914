import { rmSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { openPty } from '../daemon/sources/kit.ts';
import { must, wait, type Attack, type Figure, type Ground } from './attack.ts';
import { Person } from './person.ts';
import { startVictim, type Victim } from './victim.ts';

const LINE = '1.25,12.6\n';
/** 1 kS/s, in pieces of 20 ms */
const LINES_A_PIECE = 20;
const PIECE_MS = 20;
/** a person's hand: plugged in for so long, out for so long */
const IN_MS = [200, 1500] as const;
const OUT_MS = [0, 600] as const;
/** at the end it stays plugged in: by then it must have been found again */
const FOUND_WITHIN_MS = 20_000;

/** A logger (a pseudo-terminal behind one name) that is pulled out and put back while data flows. */
export const unplugs: Attack = { name: 'unplugs', share: 0.14, run: pullAndPlug };

async function pullAndPlug({ forMs, folder, random }: Ground): Promise<Figure[]> {
  const name = join(folder, 'logger');
  const between = ([low, high]: readonly [number, number]): number => low + random() * (high - low);
  let sent = 0;
  const plugIn = async (victim: Victim | null, ms: number, early: () => boolean, sends = Promise.resolve()): Promise<() => Promise<void>> => {
    const pty = await openPty();
    symlinkSync(pty.path, name);
    await sends;
    const startMs = performance.now();
    while (performance.now() - startMs < ms && !early() && (victim === null || victim.isAlive())) {
      pty.write(LINE.repeat(LINES_A_PIECE));
      sent += LINES_A_PIECE;
      await wait(PIECE_MS);
    }
    return async () => {
      rmSync(name);
      await pty.hangUp();
    };
  };
  // the first plug is there before the daemon starts, and sends once it runs: what was sent before would wait in the line and be recorded all the same
  let begin: () => void = () => undefined;
  let ready = false;
  const first = plugIn(null, 60_000, () => ready, new Promise<void>((resolve) => (begin = resolve)));
  await wait(300);
  const victim = await startVictim(folder, `serial:${name}?baud=115200`);
  begin();
  try {
    const person = await Person.join(victim);
    await person.until(() => person.frames > 3);
    const stopRecording = await person.record();
    const before = victim.usage();
    ready = true;
    await (await first)();
    const endMs = performance.now() + forMs;
    let plugs = 0;
    while (performance.now() < endMs) {
      await wait(between(OUT_MS));
      await (await plugIn(victim, between(IN_MS), () => false))();
      plugs++;
    }
    const framesBefore = person.frames;
    const { record } = await stopRecording();
    const recordedShare = (100 * record.samples) / Math.max(1, sent);
    const last = await plugIn(victim, FOUND_WITHIN_MS, () => person.frames > framesBefore + 3);
    const found = person.frames > framesBefore + 3;
    await last();
    const after = victim.usage();
    person.leave();
    return [
      { what: 'pulled out and put back', value: plugs, unit: 'times' },
      { what: 'recorded of what it sent while plugged in', value: recordedShare, unit: '%' },
      must('found again at the end', found ? 1 : 0, '', '1', found),
      must('daemon still runs', victim.isAlive() ? 1 : 0, '', '1', victim.isAlive()),
      ...(before === null || after === null ? [] : [must('processor used', ((after.cpuS - before.cpuS) * 1e5) / (forMs + FOUND_WITHIN_MS), '% of a core', '<= 60', (after.cpuS - before.cpuS) * 1e5 <= 60 * forMs, true)]),
    ];
  } finally {
    await victim.stop();
  }
}
