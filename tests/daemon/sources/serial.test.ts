import { readFileSync } from 'node:fs';
import { SerialPortMock } from 'serialport';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/daemon/sources/open-source.ts';
import { explainPortError } from '../../../src/daemon/sources/serial/port-trouble.ts';
import { serialPorts } from '../../../src/daemon/sources/serial/serial-port.ts';
import { USUAL_BAUDS } from '../../../src/daemon/sources/serial/recognition.ts';
import { helloLine, virtualLogger } from '../../core/decode/kit.ts';
import { DeskDevice, DeskPorts, HandTiming, watch } from './kit.ts';

/** A logger on the desk that answers `?` and then sends a block every 50 ms of the hand-driven clock. */
async function run(spec: string, ports: DeskPorts, use: (parts: { timing: HandTiming; all: ReturnType<typeof watch>; stop: () => Promise<void> }) => Promise<void>): Promise<void> {
  const timing = new HandTiming();
  const source = openSource(spec, { ports, timing });
  const all = watch();
  source.start(all);
  await use({ timing, all, stop: () => source.stop() });
  await source.stop();
  expect(timing.timers).toBe(0);
}

function talkingDevice(path: string, timing: () => HandTiming, options: ConstructorParameters<typeof DeskDevice>[1] = {}, logger = virtualLogger()): { device: DeskDevice; talk: (fromK: number, toK: number) => Promise<void> } {
  const device = new DeskDevice(path, { onAsk: (self) => self.send(helloLine()), ...options });
  return {
    device,
    async talk(fromK, toK) {
      for (let k = fromK; k < toK; k += 1) {
        await timing().pass(50);
        device.send(logger.line(k));
      }
    },
  };
}

describe('a serial source', () => {
  it('asks for the hello, reads the blocks, and says what it reads', async () => {
    const ports = new DeskPorts();
    let clock!: HandTiming;
    const { device, talk } = talkingDevice('/dev/ttyUSB7', () => clock);
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB7', ports, async ({ timing, all }) => {
      clock = timing;
      await timing.pass(10);
      await talk(0, 40);
      expect(device.asked).toBe(1);
      expect(all.loggers).toHaveLength(1);
      expect(all.timeS).toHaveLength(2000);
      expect(all.states.at(-1)).toEqual({ state: 'live', text: 'Reading bench logger (serial B7) on /dev/ttyUSB7.' });
      expect(ports.opened).toEqual([{ path: '/dev/ttyUSB7', baud: 1_000_000 }]);
    });
    expect(device.isOpen).toBe(false);
  });

  it('keeps its newest lines for the page, and which of them were damaged', async () => {
    const ports = new DeskPorts();
    const timing = new HandTiming();
    const device = new DeskDevice('/dev/ttyUSB7', { onAsk: (self) => self.send(helloLine()) });
    ports.plugIn(device);
    const source = openSource('serial:/dev/ttyUSB7', { ports, timing });
    source.start(watch());
    const logger = virtualLogger();
    await timing.pass(10);
    for (let k = 0; k < 30; k += 1) {
      await timing.pass(50);
      device.send(k === 27 ? logger.line(k).replace(/\*[0-9A-F]{4}/i, '*0000') : logger.line(k));
    }
    await timing.pass(100);
    const { heard, ageS } = source.line!()!;
    expect(heard.length).toBe(12);
    expect(ageS).toBeCloseTo(0.1, 9);
    expect(heard.filter(({ damaged }) => damaged).map(({ text }) => text.startsWith('@'))).toEqual([true]);
    await source.stop();
  });

  it('asks again while a board is still in its boot loader', async () => {
    const ports = new DeskPorts();
    let deaf = true;
    const device = new DeskDevice('/dev/ttyACM0', { onAsk: (self) => (deaf ? undefined : self.send(helloLine())) });
    ports.plugIn(device);
    await run('serial:/dev/ttyACM0', ports, async ({ timing, all }) => {
      await timing.pass(1800);
      expect(all.loggers).toHaveLength(0);
      deaf = false;
      await timing.pass(1000);
      expect(all.loggers).toHaveLength(1);
      expect(all.states.at(-1)!.state).toBe('live');
    });
  });

  it.each(USUAL_BAUDS)('finds a logger that speaks at %d baud, and counts the noise of the search as no damage', async (baud) => {
    const ports = new DeskPorts();
    let clock!: HandTiming;
    const { device, talk } = talkingDevice('/dev/ttyUSB0', () => clock, { trueBaud: baud });
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      clock = timing;
      await talk(0, 500);
      expect(all.states.at(-1)!.state).toBe('live');
      expect(device.baud).toBe(baud);
      expect(all.counts).toMatchObject({ badCrc: 0, malformed: 0 });
    });
  });

  it('at a wrong speed that was given says so, and names the fix', async () => {
    const ports = new DeskPorts();
    let clock!: HandTiming;
    const { device, talk } = talkingDevice('/dev/ttyUSB0', () => clock, { trueBaud: 115_200 });
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0?baud=9600', ports, async ({ timing, all }) => {
      clock = timing;
      await talk(0, 100);
      expect(all.states.at(-1)!.text).toContain('makes no sense at 9600 baud: most likely the wrong speed');
      expect(all.states.at(-1)!.text).toContain('let it be detected');
      expect(all.timeS).toEqual([]);
      expect(device.baud).toBe(9600);
    });
  });

  it('that stays silent says what to check', async () => {
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/ttyUSB0'));
    await run('serial:/dev/ttyUSB0?baud=9600', ports, async ({ timing, all }) => {
      await timing.pass(4000);
      expect(all.states.at(-1)!.text).toContain('silent');
      expect(all.states.at(-1)!.text).toContain('not only power');
    });
  });

  it('that sends words and no numbers says so', async () => {
    const ports = new DeskPorts();
    const device = new DeskDevice('/dev/ttyUSB0');
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      for (let i = 0; i < 250; i += 1) {
        await timing.pass(100);
        device.send('temperature is fine');
      }
      expect(all.states.at(-1)!.text).toContain('no lines of numbers');
      expect(device.baud).toBe(1_000_000);
    });
  });

  it('reads plain numbers with the columns that were said', async () => {
    const ports = new DeskPorts();
    const device = new DeskDevice('/dev/ttyUSB0');
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0?columns=voltage:mV,current:mA', ports, async ({ timing, all }) => {
      for (let i = 0; i < 300; i += 1) {
        await timing.pass(10);
        device.send('12500,1500');
      }
      expect(all.loggers[0]).toMatchObject({ kind: 'numbers', rateHz: null });
      expect(new Set(all.currentA)).toEqual(new Set([1.5]));
      expect(all.states.at(-1)!.text).toContain('number lines');
    });
  });

  it('unplugged is reported as lost, and the same trace time goes on when the device is back under another name', async () => {
    const ports = new DeskPorts();
    let clock!: HandTiming;
    const logger = virtualLogger();
    const { device, talk } = talkingDevice('/dev/ttyACM0', () => clock, { serialNumber: 'A77', vendorId: '2341' }, logger);
    ports.plugIn(device);
    await run('serial:/dev/ttyACM0', ports, async ({ timing, all }) => {
      clock = timing;
      await talk(0, 60);
      ports.pullOut('/dev/ttyACM0');
      await timing.pass(10);
      expect(all.states.at(-1)!.state).toBe('lost');
      expect(all.states.at(-1)!.text).toContain('Plug it in again');
      ports.plugIn(new DeskDevice('/dev/ttyACM0', { serialNumber: 'other', vendorId: '2341' }));
      await timing.pass(4000);
      expect(ports.opened).toHaveLength(1);
      const back = talkingDevice('/dev/ttyACM1', () => clock, { serialNumber: 'A77', vendorId: '2341' }, logger);
      ports.plugIn(back.device);
      await timing.pass(1200);
      expect(ports.opened.at(-1)!.path).toBe('/dev/ttyACM1');
      await back.talk(170, 220);
      expect(all.states.at(-1)!.state).toBe('live');
      expect(all.gaps).toHaveLength(1);
      expect(all.timeS).toHaveLength(110 * 50);
      expect(all.gaps[0]!.startS).toBeCloseTo(3, 1);
      expect(all.gaps[0]!.endS).toBeCloseTo(8.5, 0);
      expect(all.counts.restarts).toBe(0);
    });
  });

  it('never glues the half line before an unplugging to what comes after', async () => {
    const ports = new DeskPorts();
    const device = new DeskDevice('/dev/ttyUSB0', { listed: false });
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      for (let i = 0; i < 300; i += 1) {
        await timing.pass(10);
        device.send('2,12');
      }
      ports.pullOut('/dev/ttyUSB0');
      const back = new DeskDevice('/dev/ttyUSB0', { listed: false });
      ports.plugIn(back);
      await timing.pass(1200);
      back.send('7,70');
      for (let i = 0; i < 300; i += 1) {
        await timing.pass(10);
        back.send('2,12');
      }
      expect(new Set(all.currentA)).toEqual(new Set([2]));
      expect(all.gaps).toHaveLength(1);
    });
  });

  it('reported when the lines stop, and live again when they come', async () => {
    const ports = new DeskPorts();
    let clock!: HandTiming;
    const { device, talk } = talkingDevice('/dev/ttyUSB0', () => clock);
    ports.plugIn(device);
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      clock = timing;
      await talk(0, 60);
      await timing.pass(6000);
      expect(all.states.at(-1)!.state).toBe('lost');
      expect(all.states.at(-1)!.text).toContain('Nothing has arrived');
      // lines that are no readings are no silence
      for (let i = 0; i < 60; i += 1) {
        await timing.pass(100);
        device.send('check the clamp');
      }
      expect(all.states.at(-1)!.text).toMatch(/^Lines arrive from \/dev\/ttyUSB0, but none has been a reading for 1\d s\./);
      await talk(180, 190);
      expect(all.states.at(-1)!.state).toBe('live');
      expect(all.gaps).toHaveLength(1);
    });
  });

  it('waits for a device that is not there yet', async () => {
    const ports = new DeskPorts();
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      await timing.pass(3000);
      expect(all.states.at(-1)).toMatchObject({ state: 'searching' });
      expect(all.states.at(-1)!.text).toContain('There is no device /dev/ttyUSB0');
      ports.plugIn(new DeskDevice('/dev/ttyUSB0', { onAsk: (self) => self.send(helloLine()) }));
      await timing.pass(1500);
      expect(all.states.at(-1)!.state).toBe('live');
    });
  });

  it('owned by another program says so, and goes on once it is free', async () => {
    const ports = new DeskPorts();
    ports.plugIn(new DeskDevice('/dev/ttyUSB0', { onAsk: (self) => self.send(helloLine()) }));
    ports.refusals.set('/dev/ttyUSB0', 'Error Resource temporarily unavailable Cannot lock port');
    await run('serial:/dev/ttyUSB0', ports, async ({ timing, all }) => {
      await timing.pass(100);
      expect(all.states.at(-1)).toMatchObject({ state: 'failed' });
      expect(all.states.at(-1)!.text).toContain('Another program has /dev/ttyUSB0 open');
      ports.refusals.clear();
      await timing.pass(3000);
      expect(all.states.at(-1)!.state).toBe('live');
    });
  });

  it('refuses to work a switch it does not have', async () => {
    const source = openSource('serial:/dev/ttyUSB0', { ports: new DeskPorts(), timing: new HandTiming() });
    expect(source.control({ do: 'switch', position: 'forward' })).toMatchObject({ ok: false });
  });
});

describe('a port that cannot be opened is explained with the fix', () => {
  // the texts of node-serialport 13 on Linux, macOS and Windows
  it.each([
    ['Error: Permission denied, cannot open /dev/ttyUSB0', 'linux', 'denied', 'usermod -aG dialout'],
    ['Error: Resource temporarily unavailable Cannot lock port', 'linux', 'busy', 'Close it there'],
    ['Error: Resource busy, cannot open /dev/cu.usbmodem1', 'darwin', 'busy', 'Close it there'],
    ['Opening COM3: Access denied', 'win32', 'busy', 'Close it there'],
    ['Error: No such file or directory, cannot open /dev/ttyUSB0', 'linux', 'missing', 'amptrail ports'],
    ['Opening COM9: File not found', 'win32', 'missing', 'Plug the logger in'],
    ['Error: Inappropriate ioctl for device, cannot open /etc/passwd', 'linux', 'not-serial', 'not a serial device'],
    ['Error: Input/output error, cannot open /dev/ttyS4', 'linux', 'dead', 'another cable'],
    ['Something new', 'linux', 'other', 'Something new'],
  ] as const)('%s (%s)', (words, platform, kind, fix) => {
    const trouble = explainPortError('PORT', new Error(words), platform);
    expect(trouble.kind).toBe(kind);
    expect(trouble.text).toContain(fix);
  });

  it('where the system lets nobody but a group open it: the source says which, whoever runs this', async () => {
    class Denied extends SerialPortMock {
      override open(done?: (error: Error | null) => void): void {
        done?.(new Error('Error: Permission denied, cannot open /dev/ttyACM0'));
      }
    }
    const timing = new HandTiming();
    const source = openSource('serial:/dev/ttyACM0', { timing, ports: serialPorts(Denied as unknown as Parameters<typeof serialPorts>[0]) });
    const all = watch();
    source.start(all);
    await timing.pass(100);
    expect(all.states.at(-1)).toEqual({ state: 'failed', text: explainPortError('/dev/ttyACM0', new Error('Permission denied')).text });
    await source.stop();
  });

  it('by the operating system of this computer: a plain file, a folder, nothing', async () => {
    expect(readFileSync('package.json').length).toBeGreaterThan(0);
    for (const [path, words] of [['package.json', 'not a serial device'], ['src', 'not a serial device'], ['/dev/no-such-device', 'There is no device']] as const) {
      const source = openSource(`serial:${path}`);
      const all = watch();
      source.start(all);
      await all.until((seen) => seen.states.some((state) => state.state === 'failed' || state.state === 'searching'), `${path} refused`);
      expect(all.states.at(-1)!.text).toContain(words);
      await source.stop();
    }
  });
});
