import { once } from 'node:events';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { recordTrace } from '../../src/daemon/recording/record.ts';
import { openSource } from '../../src/daemon/sources/open-source.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { helloLine, virtualLogger } from '../core/decode/kit.ts';
import { DeskDevice, DeskPorts, HandTiming, openPty } from '../daemon/sources/kit.ts';
import { scratch } from '../daemon/store/kit.ts';
import { startChild } from './kit.ts';

describe('a recording whose logger', () => {
  const folder = scratch();

  it('is unplugged and put back, and later restarts, is one trace with a gap for each', async () => {
    const ports = new DeskPorts();
    const timing = new HandTiming();
    let isAsked = false;
    let device = new DeskDevice('/dev/ttyACM0', { serialNumber: 'A77', vendorId: '2341', onAsk: (self) => {
      isAsked = true;
      self.send(helloLine());
    } });
    ports.plugIn(device);
    const stopper = new AbortController();
    const path = join(folder, 'unplugged');
    const recorded = recordTrace({ source: 'serial:/dev/ttyACM0', out: path, signal: stopper.signal, log: () => undefined, openSource: (spec) => openSource(spec, { ports, timing }) });
    const talk = async (logger: ReturnType<typeof virtualLogger>, fromK: number, toK: number): Promise<void> => {
      for (let k = fromK; k < toK; k++) {
        await timing.pass(50);
        device.send(logger.line(k));
      }
    };
    const logger = virtualLogger();
    // the disk is asked first whether the folder is free; what a logger says before its port is open nobody hears
    while (!isAsked) await timing.pass(1);
    await timing.pass(10);
    await talk(logger, 0, 60);
    ports.pullOut('/dev/ttyACM0');
    await timing.pass(4000);
    device = new DeskDevice('/dev/ttyACM1', { serialNumber: 'A77', vendorId: '2341', onAsk: (self) => self.send(helloLine()) });
    ports.plugIn(device);
    await timing.pass(1500);
    await talk(logger, 170, 220);
    // the logger itself falls over for two seconds and begins to count anew
    await timing.pass(2000);
    device.send(helloLine());
    await talk(virtualLogger(), 0, 40);
    stopper.abort();
    await timing.pass(100);
    await recorded;
    const reader = await openTrace(path);
    // 60, 50 and 40 blocks of 50 samples, every one of them
    expect(reader.samples).toBe(150 * 50);
    expect(reader.gaps).toHaveLength(2);
    expect(reader.gaps[0]!.startS).toBeCloseTo(3, 1);
    expect(reader.gaps[0]!.endS).toBeCloseTo(8.5, 0);
    expect(reader.gaps[1]!.endS - reader.gaps[1]!.startS).toBeCloseTo(2, 0);
    expect(reader.record).toMatchObject({ end: 'ended', end_cause: 'stopped', damage: { restarts: 1 } });
    expect(reader.lastS - reader.firstS).toBeCloseTo(8.5 + 2.5 + 2 + 2, 0);
    await reader.close();
    expect((await verifyTrace(path)).ok).toBe(true);
  });

  it('goes on while the computer sleeps (the process stopped by SIGSTOP): what was missed is a gap of that length in the same trace', async () => {
    const pty = await openPty();
    pty.onData((text) => text.includes('?') && pty.write(`${helloLine()}\n`));
    const path = join(folder, 'asleep');
    let live = (): void => undefined;
    const isLive = new Promise<void>((resolve) => (live = resolve));
    const child = startChild('serial-recording', [pty.path, path], (line) => line.startsWith('Reading') && live());
    await isLive;
    const logger = virtualLogger();
    const startMs = performance.now();
    let asleep = false;
    let k = 0;
    // the logger counts on whether anybody listens or not
    const talking = setInterval(() => {
      for (; k * 50 < performance.now() - startMs; k++) if (!asleep) pty.write(`${logger.line(k)}\n`);
    }, 10);
    const until = (blocks: number): Promise<void> =>
      new Promise((resolve) => {
        const look = setInterval(() => {
          if (k < blocks) return;
          clearInterval(look);
          resolve();
        }, 5);
      });
    await until(30);
    asleep = true;
    const fromK = k;
    child.kill('SIGSTOP');
    await until(fromK + 40);
    child.kill('SIGCONT');
    asleep = false;
    const toK = k;
    await until(toK + 30);
    clearInterval(talking);
    const exit = once(child, 'exit');
    child.kill('SIGTERM');
    await exit;
    await pty.hangUp();
    const reader = await openTrace(path);
    const sleptS = ((toK - fromK) * 50) / 1000;
    const long = reader.gaps.filter((gap) => gap.endS - gap.startS > 0.5);
    expect(long).toHaveLength(1);
    expect(long[0]!.endS - long[0]!.startS).toBeGreaterThan(sleptS - 0.3);
    expect(long[0]!.endS - long[0]!.startS).toBeLessThan(sleptS + 1);
    expect(reader.record).toMatchObject({ end: 'ended', end_cause: 'stopped' });
    expect(reader.samples).toBeGreaterThan(50 * 50);
    await reader.close();
    expect((await verifyTrace(path)).ok).toBe(true);
  });
});
