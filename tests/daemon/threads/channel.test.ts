import { EventEmitter } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { Channel } from '../../../src/daemon/threads/channel.ts';

/** A thread in the hand of the test. */
class HandThread extends EventEmitter {
  readonly posted: [unknown, unknown][] = [];
  ended = false;
  refuses: Error | null = null;

  unref(): void {}

  postMessage(order: unknown, transfer: unknown): void {
    if (this.refuses !== null) throw this.refuses;
    this.posted.push([order, transfer]);
  }

  async terminate(): Promise<number> {
    this.ended = true;
    return 0;
  }
}

function bench() {
  const threads: HandThread[] = [];
  const lost: string[] = [];
  const start = (): Worker => {
    threads.push(new HandThread());
    return threads.at(-1) as unknown as Worker;
  };
  return { channel: new Channel<string>({ start, what: 'The work could not be done', onLost: (text) => lost.push(text) }), threads, lost };
}

describe('the channel to a thread', () => {
  it('starts it with the first order and gives each question its own answer, after how far it is', async () => {
    const { channel, threads } = bench();
    expect(channel.runs).toBe(false);
    const heard: number[] = [];
    const first = channel.ask('a', (fraction) => heard.push(fraction));
    const second = channel.ask('b');
    expect(channel.runs).toBe(true);
    const buffer = new ArrayBuffer(8);
    channel.tell('c', [buffer]);
    expect(threads.map(({ posted }) => posted)).toEqual([[[{ id: 1, work: 'a' }, []], [{ id: 2, work: 'b' }, []], [{ id: 0, work: 'c' }, [buffer]]]]);
    threads[0]!.emit('message', { id: 1, fraction: 0.5 });
    threads[0]!.emit('message', { id: 2, fraction: 0.5 });
    threads[0]!.emit('message', { id: 9, fraction: 0.5 });
    threads[0]!.emit('message', { id: 9, value: 0 });
    threads[0]!.emit('message', { id: 9, fault: { code: 'internal', text: '' } });
    threads[0]!.emit('message', { id: 2, value: 'done' });
    threads[0]!.emit('message', { id: 1, fault: { code: 'not-found', text: 'It is not there.' } });
    expect(await second).toBe('done');
    await expect(first).rejects.toMatchObject({ name: 'StoreError', code: 'not-found', message: 'It is not there.' });
    expect(heard).toEqual([0.5]);
  });

  it('that has died refuses what waits, says so once, and is started anew by the next order', async () => {
    const { channel, threads, lost } = bench();
    const waits = channel.ask('a');
    threads[0]!.emit('error', new Error('out of memory'));
    threads[0]!.emit('exit');
    await expect(waits).rejects.toMatchObject({ code: 'internal', message: 'The work could not be done: out of memory.' });
    expect([lost, channel.runs]).toEqual([['out of memory'], false]);
    const next = channel.ask('b');
    // what comes late from the one before is nothing
    threads[0]!.emit('exit');
    threads[1]!.emit('message', { id: 2, value: 1 });
    expect(await next).toBe(1);
    threads[1]!.emit('exit');
    expect(lost).toEqual(['out of memory', language.daemon.running.channel.itsThreadEnded]);
  });

  it('that cannot take an order says so to the one who gave it', async () => {
    const { channel, threads } = bench();
    channel.tell('a');
    threads[0]!.refuses = new Error('cannot be copied');
    expect(() => channel.ask('b')).toThrow('cannot be copied');
    threads[0]!.refuses = null;
    const waits = channel.ask('c');
    threads[0]!.emit('message', { id: 2, value: 'c' });
    expect(await waits).toBe('c');
  });

  it('that is closed ends its thread and takes nothing more', async () => {
    const { channel, threads, lost } = bench();
    const waits = channel.ask('a');
    const closed = channel.close('cancelled', 'Cancelled.');
    await expect(waits).rejects.toMatchObject({ code: 'cancelled', message: 'Cancelled.' });
    await closed;
    threads[0]!.emit('exit');
    expect([threads[0]!.ended, lost, channel.runs]).toEqual([true, [], false]);
    await expect(channel.ask('b')).rejects.toMatchObject({ code: 'closing', message: language.daemon.running.channel.theDaemonIsClosing });
    channel.tell('c');
    expect(threads[0]!.posted).toHaveLength(1);
    expect(threads).toHaveLength(1);
    await bench().channel.close();
  });
});
