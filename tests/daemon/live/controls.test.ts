import { describe, expect, it } from 'vitest';
import type { DeviceMade } from '../../../src/core/wire/api.ts';
import { Controls, type ControlsView } from '../../../src/daemon/live/controls.ts';
import { blockAt, joinPage, startStand, type TestPage } from '../stand.ts';

const FREE = { mine: false, holder: null, asked: 'no', askedBy: null };

function controlsOf(answerWithinMs = 1e6): { controls: Controls; reported: Map<number, ControlsView> } {
  const reported = new Map<number, ControlsView>();
  return { controls: new Controls({ tell: (id, view) => void reported.set(id, view), answerWithinMs }), reported };
}

describe('the controls', () => {
  it('are with the first page, come back when it goes, and go to who does something first', () => {
    const { controls, reported } = controlsOf();
    controls.join(1, 'bay');
    controls.join(2, 'office');
    expect(controls.mayAct(1)).toBe(true);
    expect(controls.mayAct(2)).toBe(false);
    expect(controls.view(2)).toMatchObject({ mine: false, holder: 'bay' });
    controls.leave(1);
    expect(reported.get(2)).toMatchObject(FREE);
    expect(controls.mayAct(2)).toBe(true);
    expect(controls.mayAct(1)).toBe(false);
    expect(controls.mayAct(99)).toBe(false);
  });

  it('are asked for, handed over or kept; only the holder can answer', () => {
    const { controls, reported } = controlsOf();
    for (const [id, name] of [[1, 'bay'], [2, 'office'], [3, 'van']] as const) controls.join(id, name);
    controls.do(2, 'take');
    expect(reported.get(1)).toMatchObject({ mine: true, askedBy: 'office' });
    expect(reported.get(2)).toMatchObject({ mine: false, asked: 'waiting' });
    expect(reported.get(3)).toMatchObject({ asked: 'no', askedBy: null });
    controls.do(3, 'hand-over');
    controls.do(2, 'hand-over');
    controls.do(3, 'take');
    expect(controls.mayAct(2)).toBe(false);
    controls.do(1, 'keep');
    expect(reported.get(2)).toMatchObject({ mine: false, asked: 'declined', holder: 'bay' });
    controls.do(2, 'take');
    controls.do(1, 'hand-over');
    expect(reported.get(2)).toMatchObject({ mine: true, asked: 'no' });
    expect(controls.mayAct(1)).toBe(false);
  });

  it('of a holder who does not answer, or goes, are handed over', async () => {
    const { controls, reported } = controlsOf(1);
    controls.join(1, 'bay');
    controls.join(2, 'office');
    controls.do(2, 'take');
    await new Promise<void>((resolve) => {
      const look = (): void => void (reported.get(2)?.mine === true ? resolve() : setTimeout(look, 1));
      look();
    });
    expect(controls.mayAct(1)).toBe(false);
    const slow = controlsOf().controls;
    slow.join(1, 'bay');
    slow.join(2, 'office');
    slow.do(2, 'take');
    slow.leave(1);
    expect(slow.mayAct(2)).toBe(true);
  });

  it('are asked for by one page at a time; a question goes with the page that asked it', () => {
    const { controls, reported } = controlsOf();
    for (const [id, name] of [[1, 'bay'], [2, 'office'], [3, 'van']] as const) controls.join(id, name);
    expect(controls.holderName).toBe('bay');
    controls.do(1, 'take');
    controls.do(1, 'hand-over');
    controls.do(99, 'take');
    expect(controls.view(1)).toEqual({ type: 'controls', mine: true, holder: 'bay', asked: 'no', askedBy: null });
    controls.do(2, 'take');
    controls.do(3, 'take');
    expect(reported.get(3)).toMatchObject({ asked: 'no' });
    expect(reported.get(1)).toMatchObject({ askedBy: 'office' });
    controls.leave(2);
    expect(reported.get(1)).toMatchObject({ mine: true, askedBy: null });
    reported.clear();
    controls.leave(99);
    controls.do(1, 'keep');
    expect(reported.size).toBe(0);
    controls.do(3, 'take');
    controls.leave(1);
    expect(reported.get(3)).toMatchObject({ mine: true, asked: 'no', askedBy: null });
    controls.leave(3);
    expect(controls.holderName).toBeNull();
    controls.join(4, 'yard');
    expect(controls.holderName).toBe('yard');
    controls.leave(4);
    controls.join(5, 'loft');
    expect(controls.mayAct(5)).toBe(true);
    controls.close();
  });

  it('that are free are taken by asking; a closed desk gives nothing more away', async () => {
    const { controls, reported } = controlsOf(1);
    controls.join(1, 'bay');
    controls.join(2, 'office');
    controls.leave(1);
    controls.do(2, 'take');
    expect(reported.get(2)).toMatchObject({ mine: true });
    controls.join(3, 'van');
    controls.do(3, 'take');
    controls.close();
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect(controls.holderName).toBe('office');
    expect(controls.view(3)).toMatchObject({ asked: 'no' });
  });
});

const whenMine = (page: TestPage): Promise<unknown> => page.until(() => page.last('controls')?.mine === true);

describe('two pages of one daemon', () => {
  it("the one that watches neither stops nor changes the other's recording, but marks; it asks, and is handed the controls", async () => {
    const stand = await startStand();
    const own = await stand.page();
    await whenMine(own);
    stand.source.send(blockAt(0, 100));
    own.send({ type: 'record', do: 'start' });
    await own.next('recording', ({ recording }) => recording !== null, 0);
    const { key } = (await (await stand.api('/api/devices', { method: 'POST', body: { name: 'Bay 2', access: 'operate' } })).json()) as DeviceMade;
    const other = await joinPage(stand.daemon, key);
    expect(other.last('hello')).toMatchObject({ access: 'operate', device: 'Bay 2', local: true, lan: false });
    for (const message of [{ type: 'record', do: 'stop' }, { type: 'test', settings: { ...own.last('test')!.settings, title: 'mine' } }, { type: 'job', jobId: null }, { type: 'arm', arm: null }, { type: 'zero', do: 'take' }, { type: 'source', do: 'switch', position: 'forward' }]) {
      other.send(message);
      expect((await other.next('refused', ({ what }) => what === message.type)).text).toContain('another page on the computer itself holds the controls');
    }
    expect(own.last('recording')!.recording).not.toBeNull();
    expect(stand.source.commands).toEqual([]);
    other.send({ type: 'mark', kind: 'note', label: 'heard it' });
    await own.next('mark', ({ mark }) => mark.label === 'heard it', 0);
    other.send({ type: 'controls', do: 'take' });
    expect((await own.next('controls', ({ askedBy }) => askedBy !== null, 0)).askedBy).toBe('the tablet "Bay 2"');
    own.send({ type: 'controls', do: 'hand-over' });
    await whenMine(other);
    other.send({ type: 'record', do: 'stop' });
    await own.next('recording', ({ recording }) => recording === null);
    own.send({ type: 'record', do: 'start' });
    expect((await own.next('refused')).text).toContain('the tablet "Bay 2" holds the controls');
  });

  it('a page that may only look never holds them', async () => {
    const stand = await startStand();
    const looking = await joinPage(stand.daemon, stand.daemon.viewToken);
    looking.send({ type: 'controls', do: 'take' });
    expect((await looking.next('refused')).what).toBe('controls');
    expect(looking.last('controls')).toBeUndefined();
    const page = await stand.page();
    expect(page.last('controls')).toMatchObject({ mine: true });
  });
});
