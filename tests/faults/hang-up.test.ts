import { Duplex } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { serialPorts } from '../../src/daemon/sources/serial/serial-port.ts';
import { openPty } from '../daemon/sources/kit.ts';

/** A port as the binding leaves it in a part of all hang-ups: open, reading without end, and silent (serial-empty-reads.mjs shows it on the real one). */
class HungUp extends Duplex {
  static readonly made: HungUp[] = [];
  isOpen = false;

  constructor() {
    super();
    HungUp.made.push(this);
  }

  override _read(): void {
    // nothing ever comes
  }

  open(done: (error: Error | null) => void): void {
    this.isOpen = true;
    done(null);
  }

  close(done: (error: Error | null) => void): void {
    this.isOpen = false;
    done(null);
  }

  update(_options: unknown, done: (error: Error | null) => void): void {
    done(null);
  }

  get(done: (error: Error | null) => void): void {
    done(new Error('Error: Input/output error, cannot get'));
  }

  static async list(): Promise<never[]> {
    return [];
  }
}

describe('a serial device that hangs up', () => {
  it('and of which the binding says nothing is found out, and its port is closed', async () => {
    await new Promise<void>((resolve) => {
      void serialPorts(HungUp).open('/dev/ttyUSB0', 115_200, { bytes: () => undefined, gone: () => resolve() });
    });
    expect(HungUp.made.map((port) => port.isOpen)).toEqual([false]);
  });

  it('while data flows is reported each time (real pseudo-terminals)', async () => {
    const access = serialPorts();
    for (let round = 0; round < 15; round++) {
      const pty = await openPty();
      let lines = 0;
      let isGone = false;
      const gone = new Promise<void>((resolve) => {
        void access.open(pty.path, 115_200, {
          bytes: (piece) => void (lines += piece.filter((byte) => byte === 10).length),
          gone: () => {
            isGone = true;
            resolve();
          },
        });
      });
      while (lines < 50 + round) {
        pty.write('1.25,12.6\n'.repeat(20));
        await new Promise((resolve) => setTimeout(resolve, 1));
      }
      await pty.hangUp();
      await gone;
      expect(isGone).toBe(true);
    }
  });

  it('and is only quiet stays open', async () => {
    const pty = await openPty();
    let isGone = false;
    let text = '';
    const port = await serialPorts().open(pty.path, 115_200, { bytes: (piece) => void (text += Buffer.from(piece).toString('latin1')), gone: () => (isGone = true) });
    await new Promise((resolve) => setTimeout(resolve, 1500));
    pty.write('x\n1.5\n');
    while (!text.includes('1.5\n')) await new Promise((resolve) => setTimeout(resolve, 10));
    expect(isGone).toBe(false);
    await port.close();
    await pty.hangUp();
  });
});
