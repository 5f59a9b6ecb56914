import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { Feed } from '../../../src/daemon/live/feed.ts';
import { sourceMessage } from '../../../src/daemon/live/logger-view.ts';
import { blockAt, HandSource, LOGGER } from '../stand.ts';

const words = language.daemon.running.feed;

const FINE = { ...LOGGER, channels: [{ ...LOGGER.channels[0]!, scale: 0.00001, range: [-0.3, 0.3] as const }] };

/** A feed of sources in the hand of the test, and what it says. */
function bench(): { feed: Feed; sources: HandSource[]; said: [string, unknown][] } {
  const sources: HandSource[] = [];
  const said: [string, unknown][] = [];
  const note = (what: string) => (told?: unknown): void => void said.push([what, told]);
  const open = (spec: string): HandSource => {
    if (spec === 'none') throw new Error('No such source.');
    sources.push(new HandSource(spec));
    return sources.at(-1)!;
  };
  const feed = new Feed(open, {
    samples: note('samples'), gap: note('gap'), notice: note('notice'), damage: note('damage'), replaced: note('replaced'),
    source: () => void said.push(['source', feed.state.state]),
    range: (before, now) => void said.push(['range', [before, now]]),
  });
  return { feed, sources, said };
}

const times = (said: readonly [string, unknown][]): number[] => said.filter(([what]) => what === 'samples').flatMap(([, block]) => Array.from((block as { timeS: Float64Array }).timeS));

describe('the source in use', () => {
  it('connects, says who its logger is, and sends in its own time', async () => {
    const { feed, sources, said } = bench();
    expect(feed.state).toEqual({ state: 'connecting', text: words.starting });
    await feed.use('hand:1');
    expect(said).toEqual([['source', 'connecting'], ['source', 'connecting'], ['source', 'live']]);
    expect([feed.spec, feed.logger, feed.lastS]).toEqual(['hand:1', LOGGER, 0]);
    const block = blockAt(3, 2);
    sources[0]!.send(block);
    sources[0]!.send(blockAt(4, 0));
    expect(said.slice(3)).toEqual([['samples', block]]);
    expect(feed.lastS).toBe(3.001);
  });

  it('has the zero taken off its current alone', async () => {
    const { feed, sources, said } = bench();
    await feed.use('hand:1');
    feed.zeroA = 0.5;
    sources[0]!.send(blockAt(0, 2, 1000, () => 2));
    expect(said.at(-1)![1]).toMatchObject({ currentA: new Float32Array([1.5, 1.5]), voltageV: new Float32Array([12.5, 12.5]) });
  });

  it('takes over from another with live time going on, one second later, and the time between missing', async () => {
    const { feed, sources, said } = bench();
    await feed.use('hand:1');
    sources[0]!.send(blockAt(10, 2));
    sources[0]!.sink!.damage({ badCrc: 1, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
    sources[0]!.sink!.clock!({ driftPpm: 1, driftUncertaintyPpm: 1, jitterS: 0, rateHz: 1000 });
    expect([feed.damage.badCrc, feed.clock!.driftPpm]).toEqual([1, 1]);
    said.length = 0;
    await feed.use('hand:2');
    expect(sources[0]!.stopped).toBe(true);
    expect([feed.damage.badCrc, feed.clock, feed.spec]).toEqual([0, null, 'hand:2']);
    expect(said.map(([what]) => what)).toEqual(['replaced', 'source', 'source', 'source']);
    said.length = 0;
    sources[1]!.send(blockAt(0.25, 1));
    sources[1]!.send(blockAt(0.5, 1));
    sources[1]!.sink!.gap({ startS: 0.5, endS: 2 });
    sources[1]!.sink!.notice({ atS: 3, code: 'mark', text: 'button' });
    expect(times(said)).toEqual([11.251, 11.501]);
    expect(said.filter(([what]) => what !== 'samples')).toEqual([['gap', { startS: 10.001, endS: 11.251 }], ['gap', { startS: 11.501, endS: 13.001 }], ['notice', { atS: 14.001, code: 'mark', text: 'button' }]]);
  });

  it('leaves no gap where nothing had come before it', async () => {
    const { feed, sources, said } = bench();
    await feed.use('hand:1');
    await feed.use('hand:2');
    sources[1]!.send(blockAt(0, 2));
    expect(times(said)).toEqual([0, 0.001]);
    expect(said.some(([what]) => what === 'gap')).toBe(false);
  });

  it('that has been replaced says nothing more, and one that cannot be opened replaces none', async () => {
    const { feed, sources, said } = bench();
    await feed.use('hand:1');
    const late = sources[0]!.sink!;
    await feed.use('hand:2');
    said.length = 0;
    late.samples(blockAt(1, 2));
    late.gap({ startS: 1, endS: 2 });
    late.notice({ atS: 1, code: 'mark', text: '' });
    late.damage({ badCrc: 9, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
    late.clock!({ driftPpm: 9, driftUncertaintyPpm: 1, jitterS: 0, rateHz: 1000 });
    late.logger(FINE);
    late.state({ state: 'ended', text: '' });
    expect([said, feed.clock, feed.damage.badCrc, feed.state.state]).toEqual([[], null, 0, 'live']);
    await expect(feed.use('none')).rejects.toThrow('No such source.');
    sources[1]!.send(blockAt(1, 1));
    expect(said.map(([what]) => what)).toEqual(['samples']);
  });

  it('says when its logger measures in another range', async () => {
    const { feed, sources, said } = bench();
    await feed.use('hand:1');
    sources[0]!.sink!.logger(LOGGER);
    sources[0]!.sink!.logger(FINE);
    expect(said.filter(([what]) => what === 'range')).toEqual([['range', [LOGGER, FINE]]]);
  });

  it('is none before one is opened, and after it is stopped', async () => {
    const { feed } = bench();
    const none = [{ ok: false, text: words.noSourceIsOpen }, null, null];
    const answers = (): unknown[] => [feed.control({ do: 'switch', position: 'off' }), feed.line(), feed.port()];
    expect(answers()).toEqual(none);
    await feed.use('hand:1');
    expect(answers()).toEqual([{ ok: true }, expect.objectContaining({ heard: [] }), null]);
    await feed.stop();
    expect(answers()).toEqual(none);
  });
});

describe('what pages hear of the source', () => {
  it('is its logger without what only the daemon needs, and no range that JSON cannot say', async () => {
    const { feed, sources } = bench();
    expect(sourceMessage(feed)).toEqual({ type: 'source', spec: '', state: 'connecting', text: words.starting, logger: null });
    await feed.use('hand:1');
    expect(sourceMessage(feed)).toEqual({
      type: 'source', spec: 'hand:1', state: 'live', text: 'Sending.',
      logger: { kind: 'logger', name: 'hand', serial: 'H1', firmware: '1', rateHz: 1000, hasVoltage: true, currentRangeA: [-30, 30], controls: null, channels: [{ name: 'current', unit: 'A', scale: 0.001, zero: 0 }, { name: 'voltage', unit: 'V', scale: 0.001, zero: 0 }] },
    });
    for (const range of [[-Infinity, 30], [-30, Infinity]] as const) {
      sources[0]!.sink!.logger({ ...LOGGER, channels: [{ ...LOGGER.channels[0]!, range }] });
      expect(sourceMessage(feed)).toMatchObject({ logger: { currentRangeA: null, hasVoltage: false } });
    }
    sources[0]!.sink!.logger({ ...LOGGER, channels: [LOGGER.channels[1]!] });
    expect(sourceMessage(feed)).toMatchObject({ logger: { currentRangeA: null, hasVoltage: true } });
    Object.assign(sources[0]!, { port: () => '/dev/ttyACM0' });
    expect(sourceMessage(feed)).toMatchObject({ port: '/dev/ttyACM0' });
  });
});
