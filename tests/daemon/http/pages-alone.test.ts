import { describe, expect, it } from 'vitest';
import { WIRE_PROTOCOL, type ToPage } from '../../../src/core/wire/messages.ts';
import type { Refusal } from '../../../src/daemon/http/door/gate.ts';
import type { Holder } from '../../../src/daemon/http/door/keys.ts';
import type { PageDesk, Sender, WorkMessage } from '../../../src/daemon/http/page-types.ts';
import { Pages } from '../../../src/daemon/http/pages.ts';
import { comeTo, type HandPage } from './hand-page.ts';

/** What waits for one page, bytes, up to which it gets more (pages.ts). */
const MOST_WAITING = 1024 * 1024;
/** Work of one sender between two beats (page-load.ts). */
const MOST_WORK = 1000;

/** Timers that are set while something is done, for the test to ring. */
function timersOf(work: () => void): { ring: () => void; ms: number | undefined }[] {
  const set: { ring: () => void; ms: number | undefined }[] = [];
  const kept = { setTimeout: globalThis.setTimeout, setInterval: globalThis.setInterval };
  const take = ((ring: () => void, ms?: number) => (set.push({ ring, ms }), { unref: () => undefined })) as unknown as typeof setTimeout;
  Object.assign(globalThis, { setTimeout: take, setInterval: take });
  try {
    work();
  } finally {
    Object.assign(globalThis, kept);
  }
  return set;
}

const OPERATE: Holder = { id: 'operate', access: 'operate', device: null };
const VIEW: Holder = { id: 'view', access: 'view', device: null };
const KEYS: Readonly<Record<string, Holder | Refusal>> = {
  operate: OPERATE,
  view: VIEW,
  wrong: { status: 401, code: 'no-token', text: 'Wrong key.' },
  full: { status: 503, code: 'too-many', text: 'Too many.' },
};
const STORED: ToPage = { type: 'stored' };
const SNAPSHOT = { type: 'zero', zeroA: null, noiseA: null, text: 'snapshot' } as const;

function bench() {
  const joined: Sender[] = [];
  const left: number[] = [];
  const messages: WorkMessage[] = [];
  const answer: { is: string | null | Error } = { is: null };
  const desk: PageDesk = {
    join: (_socket, key) => KEYS[key] ?? { id: key, access: 'operate', device: key },
    joined: (sender) => joined.push(sender),
    left: (pageId) => left.push(pageId),
    snapshot: () => [SNAPSHOT],
    abroad: (message) => ({ ...message, text: 'abroad' }) as ToPage,
    message: async (message) => {
      messages.push(message);
      if (answer.is instanceof Error) throw answer.is;
      return answer.is;
    },
  };
  let pages: Pages | null = null;
  const [beat] = timersOf(() => (pages = new Pages(desk, 7000)));
  const come = (address?: string): HandPage => comeTo((...wire) => pages!.upgrade(...wire), address);
  const join = (token = 'operate', address?: string): HandPage => {
    const page = come(address);
    page.says({ type: 'join', protocol: WIRE_PROTOCOL, token });
    page.got.length = 0;
    return page;
  };
  return { pages: pages!, beat: () => beat!.ring(), beatMs: beat!.ms, come, join, joined, left, messages, answer };
}

const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

describe('a page that comes', () => {
  it('hears nothing before it has joined, and then how things are', () => {
    const { pages, come, joined } = bench();
    const page = come();
    pages.send(STORED);
    pages.sendFrame(Uint8Array.of(1));
    expect([page.got, pages.count]).toEqual([[], 0]);
    page.says({ type: 'join', protocol: WIRE_PROTOCOL, token: 'operate' });
    expect([page.news(), pages.count, joined]).toEqual([[SNAPSHOT], 1, [{ pageId: expect.any(Number), holder: OPERATE, local: true }]]);
    pages.send(STORED);
    pages.sendFrame(Uint8Array.of(1));
    expect(page.news()).toEqual([STORED, Uint8Array.of(1)]);
  });

  it.each([
    ['anything else first', { type: 'record', do: 'start' }, 4001],
    ['what cannot be read', '{', 4001],
    ['a wrong key', { type: 'join', protocol: WIRE_PROTOCOL, token: 'wrong' }, 4003],
    ['a key for which no place is left', { type: 'join', protocol: WIRE_PROTOCOL, token: 'full' }, 4008],
  ])('with %s is closed and never heard again', (_what, first, code) => {
    const { pages, come, joined, messages } = bench();
    const page = come();
    page.says(first);
    page.says({ type: 'join', protocol: WIRE_PROTOCOL, token: 'operate' });
    page.says({ type: 'record', do: 'start' });
    expect([page.closedWith, page.news(), pages.count, joined, messages]).toEqual([code, [], 0, [], []]);
  });

  it('of another version of the program is told so before it is closed', () => {
    const { come, joined } = bench();
    const page = come();
    page.says({ type: 'join', protocol: WIRE_PROTOCOL + 1, token: 'operate' });
    expect([page.closedWith, page.news(), joined]).toEqual([4001, [expect.objectContaining({ type: 'refused', what: 'protocol' })], []]);
  });

  it('is one of 32 at most', () => {
    const { pages, join } = bench();
    for (let count = 0; count < 32; count++) expect(join(`tablet ${count}`).closedWith).toBeNull();
    expect([join('one more').closedWith, pages.count]).toEqual([4008, 32]);
  });

  it('sends text; bytes close it', () => {
    const { join, left } = bench();
    const page = join();
    page.emit('message', Buffer.of(1), true);
    expect([page.closedWith, left]).toEqual([1003, [expect.any(Number)]]);
  });

  it('goes once, and its going is told only if it had joined', () => {
    const { pages, come, join, joined, left } = bench();
    const [stranger, page] = [come(), join()];
    stranger.emit('close');
    expect(left).toEqual([]);
    page.emit('error', new Error('reset'));
    expect([page.terminated, left, pages.count]).toEqual([true, [joined[0]!.pageId], 0]);
    page.emit('close');
    expect(left).toHaveLength(1);
  });

  it('that is ended has half a second for its goodbye', () => {
    const { pages, join } = bench();
    const page = join();
    const [end] = timersOf(() => pages.shutOut('operate'));
    expect([page.closedWith, page.terminated, end!.ms]).toEqual([4003, false, 500]);
    end!.ring();
    expect(page.terminated).toBe(true);
  });
});

describe('a message of a page that has joined', () => {
  it('is carried out; what was refused, or went wrong, is told to that page alone', async () => {
    const { join, messages, answer } = bench();
    const [page, other] = [join(), join('tablet')];
    page.says({ type: 'zero', do: 'take' });
    await settled();
    expect([messages, page.news()]).toEqual([[{ type: 'zero', do: 'take' }], []]);
    for (const said of ['The motor runs.', new Error('The motor runs.')]) {
      answer.is = said;
      page.says({ type: 'zero', do: 'take' });
      await settled();
      expect(page.news()).toEqual([{ type: 'refused', what: 'zero', text: 'The motor runs.' }]);
    }
    expect(other.news()).toEqual([]);
  });

  it('is refused when it cannot be read, joins again, or is not for a page that looks only', async () => {
    const { join, messages } = bench();
    const page = join();
    page.says('{');
    page.says({ type: 'join', protocol: WIRE_PROTOCOL, token: 'operate' });
    expect(page.news()).toMatchObject([{ type: 'refused', what: 'message' }, { type: 'refused', what: 'join' }]);
    const viewer = join('view');
    viewer.says({ type: 'record', do: 'start' });
    await settled();
    expect([viewer.news(), messages]).toMatchObject([[{ type: 'refused', what: 'record' }], []]);
  });

  it('is answered as long as a page reads: up to 1 MB may wait, and not a byte more', () => {
    const { join } = bench();
    const page = join();
    page.bufferedAmount = MOST_WAITING;
    page.says('{');
    expect(page.news()).toHaveLength(1);
    page.bufferedAmount = MOST_WAITING + 1;
    page.says('{');
    expect(page.news()).toEqual([]);
  });
});

describe('what is told to pages', () => {
  it('goes to another device without what is of this computer alone', () => {
    const { pages, join } = bench();
    const [here, abroad, also] = [join(), join('tablet', '192.0.2.7'), join('other', '192.0.2.8')];
    pages.send(SNAPSHOT);
    expect([here, abroad, also].map((page) => page.news())).toEqual([[SNAPSHOT], [{ ...SNAPSHOT, text: 'abroad' }], [{ ...SNAPSHOT, text: 'abroad' }]]);
  });

  it('goes to one page where it is for that one', () => {
    const { pages, join, come, joined } = bench();
    const [first, second, stranger] = [join(), join('tablet'), come()];
    pages.tell(joined[1]!.pageId, STORED);
    expect([first, second, stranger].map((page) => page.news())).toEqual([[], [STORED], []]);
    pages.shutOut('operate');
    // its goodbye is on the way, and nothing else goes
    first.readyState = first.OPEN;
    pages.tell(joined[0]!.pageId, STORED);
    expect(first.news()).toEqual([]);
  });

  it('waits while 1 MB and more does: frames are counted and said, the state is told anew once, and what the next replaces is left out', () => {
    const { pages, join } = bench();
    const page = join();
    page.bufferedAmount = MOST_WAITING + 1;
    pages.send(STORED, true);
    page.bufferedAmount = MOST_WAITING;
    pages.send(STORED);
    expect(page.news()).toEqual([STORED]);
    page.bufferedAmount = MOST_WAITING + 1;
    pages.send(STORED);
    pages.sendFrame(Uint8Array.of(1));
    pages.sendFrame(Uint8Array.of(2));
    expect([page.news(), pages.waitingBytes]).toEqual([[], MOST_WAITING + 1]);
    page.bufferedAmount = 0;
    pages.sendFrame(Uint8Array.of(3));
    expect(page.news()).toEqual([{ type: 'skipped', frames: 2 }, SNAPSHOT, Uint8Array.of(3)]);
    pages.sendFrame(Uint8Array.of(4));
    pages.send(STORED);
    expect(page.news()).toEqual([Uint8Array.of(4), STORED]);
  });

  it('alone is made up for too when that page could not be told', () => {
    const { pages, join, joined, beat } = bench();
    const [slow, other] = [join(), join('tablet')];
    slow.bufferedAmount = MOST_WAITING + 1;
    pages.tell(joined[0]!.pageId, STORED);
    slow.bufferedAmount = 0;
    // with the next beat, if nothing else is to be told
    beat();
    expect([slow.news(), other.news()]).toEqual([[SNAPSHOT], []]);
  });

  it('does not go to one that is closing', () => {
    const { pages, join } = bench();
    const page = join();
    page.readyState = 2;
    pages.send(STORED);
    pages.sendFrame(Uint8Array.of(1));
    expect(page.news()).toEqual([]);
  });

  it('ends for those whose key is no longer good, and for nobody else', () => {
    const { pages, join, come, joined, left } = bench();
    const [tablet, operator, stranger] = [join('tablet'), join(), come()];
    pages.shutOut('tablet');
    expect([tablet, operator, stranger].map(({ closedWith }) => closedWith)).toEqual([4003, null, null]);
    expect([left, pages.count]).toEqual([[joined[0]!.pageId], 1]);
    pages.send(STORED);
    expect([tablet.news(), operator.news()]).toEqual([[], [STORED]]);
  });

  it('ends with the daemon, which waits for nobody’s goodbye', () => {
    const { pages, join, come } = bench();
    const [page, stranger] = [join(), come()];
    const ends = timersOf(() => pages.close());
    expect([page.closedWith, stranger.closedWith, page.terminated]).toEqual([1001, 1001, false]);
    expect(ends.map(({ ms }) => ms)).toEqual([500, 500]);
    for (const { ring } of ends) ring();
    expect([page.terminated, stranger.terminated]).toEqual([true, true]);
  });
});

describe('every 20 s', () => {
  it('a page is asked whether it is there; after a minute without an answer it is cut off', () => {
    const { beat, beatMs, join, come, left } = bench();
    const [silent, alive, stranger] = [join(), join('tablet'), come()];
    expect(beatMs).toBe(20_000);
    for (let beats = 1; beats <= 3; beats++) {
      beat();
      alive.emit('pong');
    }
    expect([silent.pings, silent.terminated, stranger.news()]).toEqual([3, false, []]);
    beat();
    expect([silent.terminated, silent.pings, alive.terminated, alive.pings, left.length]).toEqual([true, 3, false, 4, 1]);
  });

  it('what pages may send begins anew', () => {
    const { beat, join } = bench();
    const page = join();
    for (let pings = 0; pings < MOST_WORK - 10; pings++) page.emit('ping');
    beat();
    for (let pings = 0; pings < MOST_WORK - 10; pings++) page.emit('ping');
    expect(page.closedWith).toBeNull();
  });
});

describe('a page that sends too much', () => {
  const SHORT = { type: 'zero', do: 'take' };
  /** one and a part for each byte (page-load.ts) */
  const workOf = (message: object | string): number => 1 + (typeof message === 'string' ? message : JSON.stringify(message)).length / 2000;

  it('is cut off at once, whatever it sends, and what brought it over is not carried out', async () => {
    for (const [what, message, work] of [['messages', SHORT, workOf(SHORT)], ['what cannot be read', '{', workOf('{') + 2], ['pings', null, 1]] as const) {
      const { join, messages } = bench();
      const page = join();
      // joining was work too
      const most = Math.floor((MOST_WORK - 2) / work);
      const send = (): void => (message === null ? void page.emit('ping') : page.says(message));
      for (let sent = 0; sent < most; sent++) send();
      expect(page.closedWith, what).toBeNull();
      const before = messages.length;
      for (let sent = 0; sent < 3; sent++) send();
      expect([page.closedWith, page.terminated, messages.length - before <= 2], what).toEqual([1008, true, true]);
      const after = messages.length;
      page.says(SHORT);
      await settled();
      expect(messages, what).toHaveLength(after);
    }
  });

  it('has what brought it over left undone', async () => {
    const { join, messages } = bench();
    const page = join();
    // joining was one and a part
    for (let pings = 0; pings < MOST_WORK - 2; pings++) page.emit('ping');
    page.says(SHORT);
    await settled();
    expect([page.closedWith, messages]).toEqual([1008, []]);
  });

  it('counts for its sender no more once it is over', () => {
    const { join } = bench();
    const [over, other] = [join('tablet'), join('tablet')];
    over.emit('message', Buffer.of(1), true);
    for (let pings = 0; pings < MOST_WORK; pings++) over.emit('ping');
    for (let pings = 0; pings < MOST_WORK - 5; pings++) other.emit('ping');
    expect([over.terminated, other.closedWith]).toEqual([false, null]);
  });

  it('goes before another of the same sender that brought them over, which is still heard', async () => {
    const { join, messages, left, joined } = bench();
    const [loud, quiet] = [join('tablet'), join('tablet')];
    for (let pings = 0; pings < MOST_WORK - 5; pings++) loud.emit('ping');
    for (let sent = 0; sent < 5; sent++) quiet.says(SHORT);
    await settled();
    expect([loud.closedWith, quiet.closedWith, messages.length, left]).toEqual([1008, null, 5, [joined[0]!.pageId]]);
  });

  it('may come back with the next beat; before, it is kept waiting unread', () => {
    const { join, come, beat, pages } = bench();
    const loud = join('tablet');
    for (let pings = 0; pings <= MOST_WORK; pings++) loud.emit('ping');
    const again = come();
    const [end] = timersOf(() => again.says({ type: 'join', protocol: WIRE_PROTOCOL, token: 'tablet' }));
    expect([again.closedWith, again.paused, end!.ms, again.terminated, pages.count]).toEqual([1008, true, 7000, false, 0]);
    end!.ring();
    expect(again.terminated).toBe(true);
    // the same key from elsewhere is another sender
    expect(join('tablet', '192.0.2.9').closedWith).toBeNull();
    beat();
    expect([join('tablet').closedWith, pages.count]).toEqual([null, 2]);
  });
});
