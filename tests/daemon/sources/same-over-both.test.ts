import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { MAX_LINE_BYTES } from '../../../src/core/decode/line-splitter.ts';
import { openSource } from '../../../src/daemon/sources/open-source.ts';
import type { Source } from '../../../src/daemon/sources/source.ts';
import { helloLine, SCALE_A, virtualLogger } from '../../core/decode/kit.ts';
import { DeskDevice, DeskPorts, openPty, watch, type PtyLogger } from './kit.ts';

/** One end that sends bytes, one source that reads them; the same demands on a real pseudo-terminal and on a device in memory. */
interface Line {
  source(options?: string): Source;
  write(text: string): void;
  onAsk(answer: () => void): void;
  hangUp(): Promise<void>;
}

const LINES: Readonly<Record<string, () => Promise<Line>>> = {
  'a real pty opened by serialport': async () => {
    const pty: PtyLogger = await openPty();
    return {
      source: (options = '') => openSource(`serial:${pty.path}${options}`),
      write: (text) => pty.write(text),
      onAsk: (answer) => pty.onData((text) => (text.includes('?') ? answer() : undefined)),
      hangUp: () => pty.hangUp(),
    };
  },
  'a device in memory': async () => {
    const ports = new DeskPorts();
    let answer = (): void => undefined;
    let half = '';
    const device = new DeskDevice('/dev/ttyUSB0', { listed: false, onAsk: () => answer() });
    ports.plugIn(device);
    return {
      source: (options = '') => openSource(`serial:/dev/ttyUSB0${options}`, { ports }),
      write(text) {
        const lines = (half + text).split('\n');
        half = lines.pop() ?? '';
        for (const line of lines) device.send(line);
      },
      onAsk: (next) => (answer = next),
      hangUp: async () => ports.pullOut('/dev/ttyUSB0'),
    };
  },
};

describe.each(Object.entries(LINES))('over %s', (_name, open) => {
  let line: Line;
  let source: Source;
  const all = watch();
  const logger = virtualLogger({ blockSamples: 50 });

  beforeAll(async () => {
    line = await open();
    line.onAsk(() => line.write(`${helloLine()}\n`));
    source = line.source();
    source.start(all);
  });

  afterAll(async () => {
    await source.stop();
    await line.hangUp();
  });

  it('the hello is asked for and understood', async () => {
    await all.until((seen) => seen.states.at(-1)?.state === 'live', 'live');
    expect(all.loggers[0]).toMatchObject({ kind: 'logger', name: 'bench logger', serial: 'B7', rateHz: 1000 });
  });

  it('every sample of every block arrives, in order, with its value', async () => {
    for (let k = 0; k < 200; k += 1) line.write(`${logger.line(k)}${k % 2 === 0 ? '\r' : ''}\n`);
    await all.until((seen) => seen.timeS.length >= 10_000, '10,000 samples');
    expect(all.currentA).toEqual(Array.from({ length: 10_000 }, (_, n) => Math.fround((n % 30_000) * SCALE_A)));
    expect(all.gaps).toEqual([]);
    expect(all.timeS[9999]! - all.timeS[0]!).toBeCloseTo(9.999, 1);
    expect(all.counts).toEqual({ badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
  });

  it('damaged and overlong lines are counted by kind', async () => {
    line.write(`${logger.line(200).replace(/,.{4}/, ',0000')}\n`);
    line.write('half a li\n');
    for (let i = 0; i < 20; i += 1) line.write('U'.repeat(MAX_LINE_BYTES / 10));
    line.write('\n');
    for (let k = 201; k < 210; k += 1) line.write(`${logger.line(k)}\n`);
    await all.until((seen) => seen.timeS.length >= 10_450 && seen.counts.tooLong === 1 && seen.counts.lostBlocks === 1, 'counts');
    expect(all.counts).toEqual({ badCrc: 1, malformed: 1, tooLong: 1, lostBlocks: 1, restarts: 0 });
    expect(all.gaps).toHaveLength(1);
  });

  it('a logger that restarts in mid-capture goes on in the same trace', async () => {
    const again = virtualLogger();
    const before = all.timeS.length;
    line.write(`rubbish of a boot loader\n${helloLine()}\n`);
    for (let k = 0; k < 10; k += 1) line.write(`${again.line(k)}\n`);
    await all.until((seen) => seen.timeS.length >= before + 500, 'samples after the restart');
    await all.until((seen) => seen.counts.restarts === 1, 'the restart is reported');
    expect(all.gaps).toHaveLength(2);
  });

  it('a vanished port is reported, and stopping is clean', async () => {
    await line.hangUp();
    await all.until((seen) => seen.states.at(-1)?.state === 'lost', 'lost');
    expect(all.states.at(-1)!.text).toContain('Plug it in again');
    await source.stop();
  });
});

describe.each(Object.entries(LINES))('plain numbers over %s', (_name, open) => {
  it('come out in A and V with rising times', async () => {
    const line = await open();
    const source = line.source('?columns=time:ms,current:mA,voltage:V');
    const all = watch();
    let n = 0;
    source.start(all);
    await all.until((seen) => seen.states.some((state) => state.text.startsWith('Waiting')), 'open');
    const started = performance.now();
    const timer = setInterval(() => {
      for (; n < (performance.now() - started) / 2; n += 1) line.write(`${2 * n},${1500 + n},12.5\n`);
    }, 10);
    await all.until((seen) => seen.timeS.length > 600, 'samples');
    clearInterval(timer);
    await source.stop();
    await line.hangUp();
    // the line that was first after opening is dropped
    expect(all.currentA[0]).toBeCloseTo(1.501, 5);
    expect(all.currentA[500]! - all.currentA[0]!).toBeCloseTo(0.5, 4);
    expect(all.timeS[500]! - all.timeS[0]!).toBeCloseTo(1, 1);
    expect(all.loggers[0]!.channels.map((channel) => channel.name)).toEqual(['current', 'voltage']);
  });
});

describe('two programs', () => {
  it('at one real pty: the second is told that the port is taken, the first goes on', async () => {
    const pty = await openPty();
    pty.onData((text) => (text.includes('?') ? pty.write(`${helloLine()}\n`) : undefined));
    const first = openSource(`serial:${pty.path}`);
    const second = openSource(`serial:${pty.path}`);
    const allFirst = watch();
    const allSecond = watch();
    first.start(allFirst);
    await allFirst.until((seen) => seen.states.at(-1)?.state === 'live', 'the first is live');
    second.start(allSecond);
    await allSecond.until((seen) => seen.states.at(-1)?.state === 'failed', 'the second is refused');
    expect(allSecond.states.at(-1)!.text).toContain('Another program has');
    expect(allFirst.states.at(-1)!.state).toBe('live');
    await second.stop();
    await first.stop();
    await pty.hangUp();
  });
});
