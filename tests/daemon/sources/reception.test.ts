import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import type { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { HeardLines } from '../../../src/daemon/sources/serial/heard-lines.ts';
import { isOtherRange } from '../../../src/daemon/sources/serial/logger-range.ts';
import { findAgain, identify, mayBeLogger } from '../../../src/daemon/sources/serial/port-search.ts';
import { explainArriving, explainDisturbed, explainReception, explainSearching, explainSilence, explainStopped, explainUnread, judgeReception, USUAL_BAUDS } from '../../../src/daemon/sources/serial/recognition.ts';
import type { OpenPort, PortAccess, PortDetails } from '../../../src/daemon/sources/serial/serial-port.ts';
import { SerialWatch } from '../../../src/daemon/sources/serial/serial-watch.ts';
import type { SourceState } from '../../../src/daemon/sources/source.ts';
import { LOGGER } from '../stand.ts';
import { settled } from './kit.ts';

describe('bytes that are not understood yet', () => {
  const judged = (elapsedS: number, bytes: number, oddBytes: number, first = false) => judgeReception({ elapsedS, bytes, oddBytes }, first);

  it('are silence after 2 s, after opening 3 s', () => {
    expect([judged(1.99, 0, 0), judged(2, 0, 0), judged(2.99, 0, 0, true), judged(3, 0, 0, true)]).toEqual(['waiting', 'silent', 'waiting', 'silent']);
  });

  it('are noise where more than a tenth stands in no text, after 1.2 s or 640 bytes', () => {
    expect([judged(1.2, 100, 11), judged(1.21, 100, 11), judged(0.1, 640, 600), judged(0.1, 641, 600)]).toEqual(['waiting', 'noise', 'waiting', 'noise']);
    expect([judged(19.9, 100, 10), judged(20, 100, 10)]).toEqual(['waiting', 'text']);
  });

  it('are said in words with the speed, or that all usual ones were tried', () => {
    for (const impression of ['silent', 'noise', 'waiting'] as const) {
      expect(explainReception('/dev/x', impression, 9600), impression).toMatch(/9600/);
      expect(explainReception('/dev/x', impression, null), impression).not.toMatch(/9600|null/);
    }
    expect(explainReception('/dev/x', 'text', 9600)).toBe(language.daemon.sources.recognition.sendsTextButNo('/dev/x'));
  });
});

describe('the lines that were heard', () => {
  const bytes = (text: string): Uint8Array => Buffer.from(text, 'latin1');

  it('are the newest twelve, oldest first, each with whether it was damaged, and 120 characters of each', () => {
    const heard = new HeardLines();
    expect(heard.list()).toEqual([]);
    for (let i = 0; i < 14; i++) heard.add(bytes(`<${i}>`), 1, i < 10 ? 2 : 3, i % 2 === 1);
    expect(heard.list()).toEqual(Array.from({ length: 12 }, (_, k) => ({ text: String(k + 2), damaged: k % 2 === 1 })));
    heard.add(bytes('x'.repeat(119) + 'yz'), 0, 121, false);
    expect(heard.list().at(-1)!.text).toBe(`${'x'.repeat(119)}y`);
    heard.add(bytes('a'), 0, 1, false);
    expect(heard.list().at(-1)!.text).toBe('a');
  });
});

describe('a device that was unplugged', () => {
  const device = (path: string, serialNumber: string | null, vendorId: string | null = '1209', productId = '0001'): PortDetails => ({ path, manufacturer: null, serialNumber, vendorId, productId: vendorId === null ? null : productId });
  const access = (...ports: PortDetails[]): PortAccess => ({ list: async () => ports, open: () => Promise.reject(new Error('not opened here')) });

  it('is known by its serial number, else by maker and product, at its old path first', async () => {
    const a = await identify(access(device('/dev/a', 'A1')), '/dev/a');
    expect(a).toEqual({ path: '/dev/a', serialNumber: 'A1', vendorId: '1209', productId: '0001' });
    expect(await findAgain(access(device('/dev/a', 'B2'), device('/dev/b', 'A1')), a)).toBe('/dev/b');
    expect(await findAgain(access(device('/dev/a', 'B2')), a)).toBeNull();
    const unnumbered = await identify(access(device('/dev/a', null)), '/dev/a');
    expect(await findAgain(access(device('/dev/c', null), device('/dev/a', null)), unnumbered)).toBe('/dev/a');
    expect(await findAgain(access(device('/dev/c', 'C3')), unnumbered)).toBe('/dev/c');
    expect(await findAgain(access(device('/dev/c', null, '1209', '0002'), device('/dev/d', null, '2341')), unnumbered)).toBeNull();
  });

  it('of which the system says nothing is looked for where it was', async () => {
    const unknown = await identify(access(), '/dev/pts/4');
    expect(unknown).toEqual({ path: '/dev/pts/4', serialNumber: null, vendorId: null, productId: null });
    expect(await findAgain(access(device('/dev/a', 'A1')), unknown)).toBe('/dev/pts/4');
    expect(await findAgain(access(), { ...unknown, serialNumber: 'A1' })).toBeNull();
  });

  it('may be a logger unless it is a port that a PC always lists', () => {
    expect([device('/dev/ttyS0', null, null), device('/dev/ttyS0', null), device('/dev/ttyS0x', null, null), device('/dev/rfcomm0', null, null)].map(mayBeLogger)).toEqual([false, true, true, true]);
  });
});

describe('another range', () => {
  it('is another step or another end of the current, of loggers that both name one', () => {
    const logger = (scale: number, lowA: number, highA: number) => ({ ...LOGGER, channels: [{ ...LOGGER.channels[0]!, scale, range: [lowA, highA] as const }, LOGGER.channels[1]!] });
    const before = logger(0.001, -30, 30);
    expect([logger(0.001, -30, 30), logger(0.002, -30, 30), logger(0.001, -20, 30), logger(0.001, -30, 20)].map((now) => isOtherRange(before, now))).toEqual([false, true, true, true]);
    expect(isOtherRange({ ...LOGGER, channels: [] }, before)).toBe(false);
    expect(isOtherRange(before, { ...LOGGER, channels: [] })).toBe(false);
  });
});

/** A watch over a port in the hand of the test. */
function bench({ baud = null as number | null, clockHz = null as number | null, firstBaud = USUAL_BAUDS[0]!, changing = Promise.resolve() } = {}) {
  const line = { kind: 'unknown' as 'unknown' | 'logger' | 'numbers', goodLines: 0, bytes: 0, oddBytes: 0, nowS: 100, refuse: false };
  const told: SourceState[] = [];
  const asked: number[] = [];
  const speeds: number[] = [];
  const wrong: number[] = [];
  const decoder = { tick: () => undefined, get kind() { return line.kind; }, get goodLines() { return line.goodLines; }, clock: () => (clockHz === null ? null : { rateHz: clockHz }) };
  const port = {
    get bytes() { return line.bytes; }, get oddBytes() { return line.oddBytes; },
    write: (text: string) => void (text === '?' && asked.push(line.nowS)),
    setBaud: async (next: number) => {
      if (line.refuse) throw new Error('not this speed');
      speeds.push(next);
      await changing;
      line.bytes = line.oddBytes = 0;
    },
  };
  const watch = new SerialWatch({ path: '/dev/x', baud, decoder: decoder as unknown as LineDecoder, port: port as unknown as OpenPort, now: () => line.nowS, tell: (state) => told.push(state), describe: (at) => `Reading at ${at}.`, baudWasWrong: (next) => wrong.push(next) }, firstBaud);
  const at = (nowS: number, change: Partial<typeof line> = {}): SourceState | undefined => {
    Object.assign(line, change, { nowS: 100 + nowS });
    watch.tick();
    return told.at(-1);
  };
  return { watch, at, told, asked, speeds, wrong };
}

describe('the watch over an open port', () => {
  it('asks at once, and again every 0.7 s while nobody has said who it is', () => {
    const { at, asked } = bench();
    for (const nowS of [0, 0.69, 0.7, 1, 1.4]) at(nowS);
    expect(asked.map((nowS) => nowS - 100)).toEqual([0, expect.closeTo(0.7, 9), expect.closeTo(1.4, 9)]);
    at(3, { kind: 'logger' });
    expect(asked).toHaveLength(3);
  });

  it('is live with a hello at once, with plain numbers from the third line on', () => {
    const logger = bench();
    expect(logger.at(0.1, { kind: 'logger', bytes: 50 })).toEqual({ state: 'live', text: 'Reading at 1000000.' });
    expect(logger.watch.isLive).toBe(true);
    const numbers = bench();
    expect(numbers.at(0.1, { kind: 'numbers', goodLines: 2, bytes: 20 })!.state).toBe('connecting');
    expect(numbers.watch.isLive).toBe(false);
    expect(numbers.at(0.2, { goodLines: 3 })!.state).toBe('live');
    // whole blocks of a logger that has not said yet what they hold are no readings
    const unnamed = bench();
    expect(unnamed.at(0.1, { goodLines: 5, bytes: 900 })!.state).toBe('connecting');
    expect(unnamed.watch.isLive).toBe(false);
  });

  it('says that it is lost after 4 s without a good line, or ten periods of a slow logger', () => {
    const quick = bench({ clockHz: 1000 });
    quick.at(0, { kind: 'logger', goodLines: 1, bytes: 50 });
    expect(quick.at(4)!.state).toBe('live');
    expect(quick.at(4.1)).toMatchObject({ state: 'lost', text: explainSilence('/dev/x', 4) });
    expect(quick.at(5, { goodLines: 2, bytes: 60 })!.state).toBe('live');
    const slow = bench({ clockHz: 0.5 });
    slow.at(0, { kind: 'logger', goodLines: 1, bytes: 50 });
    expect([slow.at(20)!.state, slow.at(20.1)!.state]).toEqual(['live', 'lost']);
    // without a clock of its own a logger is taken to send once a second
    const unknown = bench();
    unknown.at(0, { kind: 'logger', goodLines: 1, bytes: 50 });
    expect([unknown.at(10)!.state, unknown.at(10.1)!.state]).toEqual(['live', 'lost']);
  });

  it('tells lines that are no reading from noise and from silence', () => {
    const { at } = bench({ clockHz: 1000 });
    at(0, { kind: 'logger', goodLines: 1, bytes: 50 });
    expect(at(6, { bytes: 100, oddBytes: 5 })).toEqual({ state: 'lost', text: explainUnread('/dev/x', 6) });
    expect(at(6.5, { bytes: 110, oddBytes: 12 })!.text).toBe(explainDisturbed('/dev/x', 1_000_000));
    expect(at(10.4)!.text).toBe(explainDisturbed('/dev/x', 1_000_000));
    expect(at(10.5)!.text).toBe(explainSilence('/dev/x', 4));
    // what made no sense before the last good line says nothing of what came after
    const mended = bench({ clockHz: 1000 });
    mended.at(0, { kind: 'logger', goodLines: 1, bytes: 50, oddBytes: 40 });
    expect(mended.at(6, { bytes: 100 })!.text).toBe(explainUnread('/dev/x', 6));
  });

  it('calls noise after readings at the same speed a disturbed line, however long they came before', () => {
    const { at } = bench({ clockHz: 1000 });
    at(0, { kind: 'logger', goodLines: 1, bytes: 50 });
    at(3600, { goodLines: 100_000, bytes: 5_000_000 });
    const { text } = at(3605, { bytes: 5_000_500, oddBytes: 300 })!;
    expect(text).toBe(explainDisturbed('/dev/x', 1_000_000));
    expect(text).toMatch(/readings came at 1000000 baud before.*cable, plug and ground.*motor/);
    expect(text).not.toContain('wrong speed');
  });

  it('tries the next usual speed when one makes no sense, round to the first; a speed that was given stays', async () => {
    const { at, speeds, wrong } = bench({ firstBaud: USUAL_BAUDS.at(-1)! });
    at(0);
    expect(at(1.3, { bytes: 100, oddBytes: 60 })!.state).toBe('connecting');
    await settled();
    expect([speeds, wrong]).toEqual([[USUAL_BAUDS[0]], [USUAL_BAUDS[0]]]);
    expect(at(1.4)!.text).toBe(explainSearching('/dev/x', USUAL_BAUDS[0]!));
    expect(at(1.5, { bytes: 201, oddBytes: 0 })!.text).toBe(explainArriving('/dev/x', USUAL_BAUDS[0]!));
    const given = bench({ baud: 9600, firstBaud: 9600 });
    expect(given.at(1.3, { bytes: 100, oddBytes: 60 })!.text).toBe(explainReception('/dev/x', 'noise', 9600));
    await settled();
    expect(given.speeds).toEqual([]);
  });

  it('waits while the speed is being changed, and asks at the new one at once', async () => {
    let done = (): void => undefined;
    const { at, asked, speeds } = bench({ changing: new Promise<void>((resolve) => (done = resolve)) });
    for (const nowS of [0, 1.3, 2.7]) at(nowS, { bytes: 100 + nowS, oddBytes: 60 });
    expect([asked.length, speeds]).toEqual([2, [USUAL_BAUDS[1]]]);
    done();
    await settled();
    at(2.8);
    expect([asked.length, speeds.length]).toEqual([3, 1]);
    at(2.9);
    expect(asked).toHaveLength(3);
  });

  it('gives a port 3 s after opening, when a board may be starting up, and 2 s at every speed after', async () => {
    const { at, speeds } = bench();
    const tried: number[] = [];
    for (const nowS of [2.9, 3, 4.9, 5]) {
      at(nowS);
      await settled();
      tried.push(speeds.length);
    }
    expect(tried).toEqual([0, 1, 1, 2]);
  });

  it('says while it is too early that it waits, and that lines arrive from 200 readable bytes on', () => {
    const { at } = bench();
    const waiting = explainReception('/dev/x', 'waiting', 1_000_000);
    expect([at(0)!.text, at(0.1, { bytes: 200 })!.text, at(0.2, { bytes: 206, oddBytes: 6 })!.text, at(0.3, { bytes: 207 })!.text]).toEqual([waiting, waiting, waiting, explainArriving('/dev/x', 1_000_000)]);
  });

  it('passes over a speed that this computer cannot do', async () => {
    const { at, speeds, wrong } = bench();
    at(3, { refuse: true });
    await settled();
    at(6, { refuse: false });
    await settled();
    expect([speeds, wrong]).toEqual([[USUAL_BAUDS[2]], [USUAL_BAUDS[2]]]);
  });

  it('goes on trying and says so when every usual speed was silent', async () => {
    const { at, speeds, told } = bench();
    for (let i = 1; i <= USUAL_BAUDS.length; i++) {
      at(4 * i);
      await settled();
    }
    expect(speeds).toEqual([...USUAL_BAUDS.slice(1), USUAL_BAUDS[0]]);
    expect(told.some(({ text }) => text === explainReception('/dev/x', 'silent', null))).toBe(false);
    expect(at(100)).toEqual({ state: 'connecting', text: explainReception('/dev/x', 'silent', null) });
    await settled();
    const said = told.length;
    // that stands while the next speeds are tried
    for (const nowS of [100.5, 101]) at(nowS);
    expect(told).toHaveLength(said);
  });

  it('says what came last that can be said: noise after silence, words after noise', async () => {
    const { at } = bench();
    let nowS = 3;
    at(nowS);
    for (let i = 1; i < USUAL_BAUDS.length; i++) {
      await settled();
      at((nowS += 1.3), { bytes: 100 + i, oddBytes: 60 });
    }
    await settled();
    expect(at((nowS += 1.3), { bytes: 99, oddBytes: 60 })!.text).toBe(explainReception('/dev/x', 'noise', null));
    const words = bench();
    words.at(1.3, { bytes: 100, oddBytes: 60 });
    await settled();
    expect(words.at(21.3, { bytes: 500 })!.text).toBe(explainReception('/dev/x', 'text', USUAL_BAUDS[1]!));
  });

  it('says after noise that nothing arrives any more, and for how long, whatever speed is tried meanwhile; and that something arrives again', async () => {
    const { at, speeds } = bench();
    let nowS = 0;
    for (let i = 0; i <= USUAL_BAUDS.length; i++) {
      at((nowS += 1.3), { bytes: 100 + i, oddBytes: 60 });
      await settled();
    }
    // from the first look at the new speed on, that all were tried
    expect(at((nowS += 1.3), { bytes: 99, oddBytes: 60 })!.text).toBe(explainReception('/dev/x', 'noise', null));
    await settled();
    const tried = speeds.length;
    expect(at(nowS + 3.9)!.text).toBe(explainReception('/dev/x', 'noise', null));
    for (const [silentS, changes] of [[4, 0], [8, 1], [21, 1]] as const) {
      await settled();
      const before = speeds.length;
      expect(at(nowS + silentS + 0.01)).toEqual({ state: 'connecting', text: explainStopped('/dev/x', silentS, 'noise') });
      await settled();
      // each speed is given its time: at 4 s the last change is 0.1 s ago
      at(nowS + silentS + 0.5);
      await settled();
      expect(speeds.length - before).toBe(changes);
    }
    await settled();
    expect(speeds.length).toBeGreaterThan(tried);
    expect(explainStopped('/dev/x', 21, 'noise')).toMatch(/^Nothing has arrived from \/dev\/x for 21 s\. .*made no sense/);
    expect(at(nowS + 21.1, { bytes: 5, oddBytes: 3 })!.text).toBe(explainSearching('/dev/x', speeds.at(-1)!));
  });

  it('says of noise at a speed that was given, and of lines that are no reading, that they have stopped', async () => {
    const given = bench({ baud: 9600, firstBaud: 9600 });
    given.at(1.3, { bytes: 100, oddBytes: 60 });
    expect(given.at(5.4)!.text).toBe(explainStopped('/dev/x', 4, 'noise'));
    expect(given.at(5.5, { bytes: 130, oddBytes: 80 })!.text).toBe(explainReception('/dev/x', 'noise', 9600));
    const greeting = bench();
    greeting.at(1, { bytes: 5 });
    expect([greeting.at(4.9)!.text, greeting.at(5)!.text]).toEqual([explainReception('/dev/x', 'waiting', 1_000_000), explainStopped('/dev/x', 4, 'waiting')]);
    const text = bench();
    text.at(20, { bytes: 500 });
    expect(text.at(45.5)!.text).toBe(explainStopped('/dev/x', 25, 'text'));
    expect(explainStopped('/dev/x', 25, 'text')).toMatch(/held no reading/);
    expect(text.at(46, { bytes: 520 })!.text).toBe(explainReception('/dev/x', 'text', 1_000_000));
    await settled();
    expect(text.speeds).toEqual([]);
  });

  it('says of words that they are no numbers, and tries no other speed', async () => {
    const { at, speeds } = bench();
    expect(at(20, { bytes: 500 })).toEqual({ state: 'connecting', text: explainReception('/dev/x', 'text', 1_000_000) });
    await settled();
    expect(speeds).toEqual([]);
  });
});
