import { readFile, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { readCsv } from '../../core/tracefile/read-csv.ts';
import { recordTrace } from '../../../src/daemon/recording/record.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { smallDisk } from '../store/kit.ts';
import { blockAt, HandSource, LOGGER, temporaryFolder } from '../stand.ts';

/** Sends all blocks as soon as it is started. */
class EagerSource extends HandSource {
  readonly #play: (source: EagerSource) => void;

  constructor(play: (source: EagerSource) => void) {
    super();
    this.#play = play;
  }

  override start(sink: Parameters<HandSource['start']>[0]): void {
    super.start(sink);
    this.#play(this);
  }
}

describe('recording without a browser', () => {
  it('writes a trace folder until the time is over, beginning with the first sample', async () => {
    const out = join(temporaryFolder(), 'step-left');
    const source = new EagerSource((hand) => {
      hand.send(blockAt(100, 1000));
      hand.sink!.gap({ startS: 100.999, endS: 103 });
      for (let i = 0; i < 10; i++) hand.send(blockAt(103 + i, 1000));
    });
    const summary = await recordTrace({ source: 'hand:1', out, durationS: 5, signal: new AbortController().signal, log: () => {}, openSource: () => source });
    expect(summary.endCause).toBe('duration');
    expect(source.stopped).toBe(true);
    const reader = await openTrace(out);
    expect([reader.firstS, reader.samples]).toEqual([0, summary.samples]);
    expect(reader.lastS).toBeGreaterThanOrEqual(5);
    expect(reader.gaps).toHaveLength(1);
    await reader.close();
  });

  it('writes down the ranges the logger switched to, and how its clock runs', async () => {
    const out = join(temporaryFolder(), 'ranges');
    const fine = { ...LOGGER, channels: LOGGER.channels.map((channel) => ({ ...channel, scale: channel.scale / 100, range: [-0.3, 0.3] as const })) };
    const source = new EagerSource((hand) => {
      hand.send(blockAt(10, 1000));
      hand.sink!.logger(LOGGER);
      hand.sink!.logger(fine);
      hand.send(blockAt(11, 1000));
      hand.sink!.clock!({ driftPpm: 120, driftUncertaintyPpm: 5, jitterS: 0.002, rateHz: 1000 });
      hand.sink!.state({ state: 'ended', text: 'Played to its end.' });
    });
    await recordTrace({ source: 'hand:1', out, signal: new AbortController().signal, log: () => {}, openSource: () => source });
    const reader = await openTrace(out);
    const { record } = reader;
    expect(record.clock).toEqual({ drift_ppm: 120, jitter_s: 0.002 });
    expect(record.ranges).toHaveLength(2);
    expect(record.ranges[0]).toMatchObject({ at_s: 0, resolution: LOGGER.channels[0]!.scale });
    expect(record.ranges[1]!.at_s).toBeCloseTo(0.999, 6);
    expect(record.ranges[1]).toMatchObject({ range: [-0.3, 0.3] });
    await reader.close();
  });

  it('writes a CSV when the name says so, and ends cleanly on Ctrl-C', async () => {
    const out = join(temporaryFolder(), 'step.csv');
    const stop = new AbortController();
    const source = new EagerSource((hand) => {
      hand.send(blockAt(0, 500, 1000, () => 2));
      stop.abort();
    });
    const summary = await recordTrace({ source: 'hand:1', out, signal: stop.signal, log: () => {}, openSource: () => source });
    expect(summary).toMatchObject({ samples: 500, endCause: 'stopped' });
    const { blocks } = readCsv(new Uint8Array(await readFile(out)));
    expect(blocks.flatMap((block) => Array.from(block.currentA))).toEqual(Array.from({ length: 500 }, () => 2));
    expect(await stat(`${out}.recording`).catch(() => null)).toBeNull();
  });

  it('ends with the source, and says why when nothing came', async () => {
    const folder = temporaryFolder();
    const ended = new EagerSource((hand) => {
      hand.send(blockAt(0, 100));
      hand.sink!.state({ state: 'ended', text: 'Played to its end.' });
    });
    expect(await recordTrace({ source: 'hand:1', out: join(folder, 'a'), signal: new AbortController().signal, log: () => {}, openSource: () => ended })).toMatchObject({ samples: 100, endCause: 'source-ended' });
    const failed = new EagerSource((hand) => hand.sink!.state({ state: 'failed', text: 'The port is owned by another program: close it.' }));
    await expect(recordTrace({ source: 'hand:1', out: join(folder, 'b'), signal: new AbortController().signal, log: () => {}, openSource: () => failed })).rejects.toMatchObject({ code: 'source-failed', message: expect.stringContaining('close it') });
    const silent = new AbortController();
    const quiet = new EagerSource(() => silent.abort());
    await expect(recordTrace({ source: 'hand:1', out: join(folder, 'c'), signal: silent.signal, log: () => {}, openSource: () => quiet })).rejects.toMatchObject({ code: 'source-failed', message: expect.stringContaining('no sample came') });
  });

  it('says what the source says, each once, what the logger notes, and that time is missing; a mark of the logger is kept', async () => {
    const out = join(temporaryFolder(), 'said');
    const log: string[] = [];
    const source = new EagerSource((hand) => {
      hand.sink!.state({ state: 'live', text: 'Sending.' });
      hand.send(blockAt(5, 100));
      hand.sink!.notice({ atS: 5.05, code: 'mark', text: 'button' });
      hand.sink!.notice({ atS: 5.06, code: 'overrun', text: '3 blocks' });
      hand.sink!.gap({ startS: 5.099, endS: 7 });
      hand.send(blockAt(7, 100));
      hand.sink!.state({ state: 'failed', text: 'Pulled out.' });
    });
    const summary = await recordTrace({ source: 'hand:1', out, signal: new AbortController().signal, log: (text) => log.push(text), openSource: () => source });
    expect(log).toEqual(['Sending.', 'Logger: button', 'Logger: 3 blocks', 'Pulled out.', language.daemon.running.record.stretchWithoutSamplesSee(1, '')]);
    expect(summary).toEqual({ samples: 200, durationS: expect.closeTo(2.099, 9) as number, gaps: 1, endCause: 'source-failed', trouble: language.daemon.running.recordingSink.theRecordingHasEndedEarly('Pulled out.') });
    const reader = await openTrace(out);
    expect(reader.marks).toEqual([{ timeS: 0.05, kind: 'note', label: 'button' }]);
    expect(reader.record).toMatchObject({ id: 'said', logger: { name: 'hand', source: 'hand:1' }, thinning: null });
    await reader.close();
  });

  it('without time missing says nothing of it, and thins where that was asked for', async () => {
    const out = join(temporaryFolder(), 'thin');
    const log: string[] = [];
    const source = new EagerSource((hand) => {
      for (let second = 0; second < 40; second++) hand.send(blockAt(second, 1000, 1000, () => 0.03));
      hand.sink!.state({ state: 'ended', text: 'Played to its end.' });
    });
    const summary = await recordTrace({ source: 'hand:1', out, thinA: 0.2, signal: new AbortController().signal, log: (text) => log.push(text), openSource: () => source });
    expect(log).toEqual(['Sending.', 'Played to its end.']);
    expect(summary).toMatchObject({ gaps: 0, trouble: null });
    // the first seconds in full, of the rest three samples a second
    expect(summary.samples).toBeLessThan(13_000);
    const reader = await openTrace(out);
    expect(reader.record.thinning!.policy).toMatch(/0\.2/);
    await reader.close();
  });

  it('that was stopped before it began records nothing', async () => {
    const folder = temporaryFolder();
    const stopped = AbortSignal.abort();
    const source = new EagerSource(() => {});
    await expect(recordTrace({ source: 'hand:1', out: join(folder, 'a'), signal: stopped, log: () => {}, openSource: () => source })).rejects.toMatchObject({ code: 'source-failed' });
    expect(source.stopped).toBe(true);
    expect(await stat(join(folder, 'a')).catch(() => null)).toBeNull();
  });

  it('ends with what is whole on a disk that is full, and says so', async () => {
    const out = join(temporaryFolder(), 'full');
    const source = new EagerSource((hand) => hand.send(blockAt(0, 100)));
    const ended = recordTrace({ source: 'hand:1', out, signal: new AbortController().signal, log: () => {}, openSource: () => source, openFile: smallDisk(40_000) });
    while (source.sink === null) await new Promise((resolve) => setImmediate(resolve));
    for (let i = 0; !source.stopped; i++) {
      source.send(blockAt(1 + i, 1000));
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    const summary = await ended;
    expect(summary).toMatchObject({ endCause: 'disk-full', trouble: expect.any(String) });
    const reader = await openTrace(out);
    expect(reader.samples).toBe(summary.samples);
    await reader.close();
  });

  it('ends as soon as its folder is another’s', async () => {
    const out = join(temporaryFolder(), 'taken');
    const source = new EagerSource((hand) => hand.send(blockAt(0, 100)));
    const ended = recordTrace({ source: 'hand:1', out, signal: new AbortController().signal, log: () => {}, openSource: () => source });
    const owner = join(out, '.owner.json');
    while ((await stat(owner).catch(() => null))?.size === undefined) await new Promise((resolve) => setImmediate(resolve));
    await writeFile(owner, JSON.stringify({ pid: process.pid, host: 'elsewhere', since: '2026-03-02T08:00:00Z', key: 'another' }));
    for (let i = 0; !source.stopped; i++) {
      source.send(blockAt(1 + i, 1000));
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
    expect(await ended).toMatchObject({ endCause: 'lock-lost', trouble: expect.any(String) });
  });

  it('refuses to write over something, a place that cannot be written, and a source that is none', async () => {
    const folder = temporaryFolder();
    await writeFile(join(folder, 'there.csv'), '');
    const base = { signal: new AbortController().signal, log: () => {}, openSource: () => new EagerSource((hand) => hand.send(blockAt(0, 10))) };
    await expect(recordTrace({ ...base, source: 'hand:1', out: join(folder, 'there.csv') })).rejects.toMatchObject({ code: 'bad-output', message: expect.stringContaining('exists already') });
    await expect(recordTrace({ ...base, source: 'hand:1', out: join(folder, 'there.csv', 'below') })).rejects.toMatchObject({ code: 'bad-output' });
    await expect(recordTrace({ signal: base.signal, log: base.log, source: 'sim:no-such-vehicle', out: join(folder, 'x') })).rejects.toMatchObject({ code: 'bad-source' });
  });
});
