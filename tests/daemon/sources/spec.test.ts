import { describe, expect, it } from 'vitest';
import { openSource, parseSpec, SourceSpecError } from '../../../src/daemon/sources/open-source.ts';
import { SCENARIOS } from '../../../src/simulate/scenarios.ts';

describe('the words of a source', () => {
  it.each([
    ['auto', { kind: 'auto' }],
    ['serial:/dev/ttyACM0', { kind: 'serial', path: '/dev/ttyACM0', baud: null, columns: null }],
    ['serial:COM12?baud=115200', { kind: 'serial', path: 'COM12', baud: 115_200, columns: null }],
    ['serial:/dev/ttyUSB0?baud=9600&columns=time:ms,current:mA', { kind: 'serial', baud: 9600, columns: [{ role: 'time', name: null, factor: 1e-3 }, { role: 'current', name: null, factor: 1e-3 }] }],
    ['serial:/dev/ttyUSB0?columns=current=2:mA', { kind: 'serial', columns: [{ role: 'current', name: '2', factor: 1e-3 }] }],
    ['sim:some-vehicle', { kind: 'sim', scenario: 'some-vehicle', speed: 1, seed: 1 }],
    ['sim:some-vehicle?speed=2.5&seed=77', { kind: 'sim', scenario: 'some-vehicle', speed: 2.5, seed: 77 }],
    ['replay:C:\\traces\\before.csv?speed=10', { kind: 'replay', path: 'C:\\traces\\before.csv', speed: 10 }],
    ['  auto ', { kind: 'auto' }],
    ['serial:x?baud=50', { baud: 50 }],
    ['serial:x?baud=20000000', { baud: 20_000_000 }],
    ['sim:x?speed=0.01&seed=0', { speed: 0.01, seed: 0 }],
    ['sim:x?speed=10000&seed=4294967295', { speed: 10_000, seed: 4_294_967_295 }],
    ['replay:a?b.csv?speed=2', { kind: 'replay', path: 'a?b.csv', speed: 2 }],
    ['replay:what?', { kind: 'replay', path: 'what?', speed: 1 }],
  ])('%s are read', (spec, wanted) => {
    expect(parseSpec(spec)).toMatchObject(wanted);
  });

  it.each([
    ['', 'A source is auto, serial:PATH'],
    ['usb', 'A source is auto, serial:PATH'],
    ['tcp:1.2.3.4', 'A source is auto'],
    ['serial:', 'needs the device'],
    ['serial:/dev/x?bad=1', 'has no option "bad"'],
    ['serial:/dev/x?baud=fast', 'baud=fast cannot be'],
    ['serial:/dev/x?baud=0', 'from 50 to'],
    ['serial:x?baud=49', 'from 50 to'],
    ['serial:x?baud=20000001', 'to 20000000'],
    ['sim:x?speed=0.009', 'speed=0.009 cannot be'],
    ['sim:x?speed=10000.5', 'speed=10000.5 cannot be'],
    ['sim:x?seed=4294967296', 'seed=4294967296 cannot be'],
    ['sim:x?seed=1.5', 'whole number'],
    ['sim:x?speed', 'has no option "speed"'],
    ['sim:x?baud=9600', 'has no option "baud"'],
    ['sim', 'A source is auto'],
    ['automatic:x', 'A source is auto'],
    ['serial:/dev/x?baud=9600.5', 'whole number'],
    ['serial:/dev/x?baud=9600&baud=9600', 'twice'],
    ['serial:/dev/x?columns=amps', 'must be time, current, voltage or skip'],
    ['serial:/dev/x?columns=current:kg', 'not a unit of current'],
    ['serial:/dev/x?columns=current=amps,voltage=2', 'have no header'],
    ['sim:', 'needs a scenario'],
    ['sim:no-such-vehicle', 'There is no scenario'],
    ['sim:x?speed=0', 'speed=0 cannot be'],
    ['sim:x?seed=-1', 'seed=-1 cannot be'],
    ['replay:', 'needs a trace'],
    ['replay:a.csv?speed=soon', 'speed=soon cannot be'],
  ])('"%s" are refused in words that help', (spec, words) => {
    let error: unknown = null;
    try {
      openSource(spec);
    } catch (thrown) {
      error = thrown;
    }
    expect(error).toBeInstanceOf(SourceSpecError);
    expect((error as Error).message).toContain(words);
  });

  it('a scenario that is not there is answered with those that are', () => {
    expect(() => openSource('sim:nothing')).toThrow(SCENARIOS[0]!.name);
  });
});
