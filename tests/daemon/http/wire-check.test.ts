import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { FromPage } from '../../../src/core/wire/messages.ts';
import { check, parsePageMessage } from '../../../src/daemon/http/wire-check.ts';

const MESSAGES: FromPage[] = [
  { type: 'join', protocol: 1, token: 'abc' },
  { type: 'test', settings: { test: 'actuation', actuation: {}, drain: {}, jobId: null, title: '' } },
  {
    type: 'test',
    settings: {
      test: 'drain',
      actuation: { runLimitsA: [3, 5], flagLimitA: 12, commutationsPerRevolution: 10, fuseRatingA: 20, wire: { areaMm2: 1.5, lengthM: 6, temperatureC: 20 }, fullScaleA: 30, zeroUncertaintyA: 0.02, gainUncertaintyPercent: 1, zeroDriftAPerHour: 0.01 },
      drain: { limitA: 0.05, batteryAh: 60, reserveCapacityMin: 90, restedV: 12.6, temperatureC: 20, settlingS: 1200, zeroUncertaintyA: 0.0005, gainUncertaintyPercent: 0.3, zeroDriftAPerHour: 0.0002 },
      jobId: 'minibus-7_2026',
      title: 'before, left side',
    },
  },
  { type: 'record', do: 'start' },
  { type: 'record', do: 'stop' },
  { type: 'arm', arm: null },
  { type: 'arm', arm: { startOn: { kind: 'level', levelA: 2 }, beforeS: 2, stopAfterS: 30, stopAfterBytes: null, stopWhenAsleep: false } },
  { type: 'arm', arm: { startOn: { kind: 'slope', slopeAPerS: 100 }, beforeS: 0, stopAfterS: null, stopAfterBytes: 1e6, stopWhenAsleep: false } },
  { type: 'arm', arm: { startOn: { kind: 'time', at: '2026-11-25T22:00:00Z' }, beforeS: 0, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: true } },
  { type: 'mark', kind: 'pull', label: 'F12' },
  { type: 'zero', do: 'take' },
  { type: 'source', do: 'switch', position: 'forward' },
  { type: 'source', do: 'fuse', label: 'F3', fitted: false },
  { type: 'source', do: 'choose', spec: 'sim:side-step' },
];

describe('a message of a page', () => {
  it.each(MESSAGES.map((message) => [JSON.stringify(message).slice(0, 60), message] as const))('is taken as it is when it is one: %s', (_name, message) => {
    expect(parsePageMessage(JSON.stringify(message))).toEqual({ ok: true, value: message });
  });

  it('with one field too many, too few or of another kind is refused with a sentence', () => {
    const wrongs: unknown[] = [null, {}, [], 'x'.repeat(2500), -1e300, true];
    for (const message of MESSAGES) {
      expect(parsePageMessage(JSON.stringify({ ...message, extra: 1 })).ok, JSON.stringify(message)).toBe(false);
      for (const key of Object.keys(message)) {
        const { [key]: _gone, ...rest } = message as unknown as Record<string, unknown>;
        expect(parsePageMessage(JSON.stringify(rest)).ok, `${JSON.stringify(message)} without ${key}`).toBe(false);
        for (const wrong of wrongs) {
          if (key === 'arm' && wrong === null) continue;
          if (key === 'fitted' && wrong === true) continue;
          const checked = parsePageMessage(JSON.stringify({ ...message, [key]: wrong }));
          expect(checked.ok, `${key} = ${JSON.stringify(wrong)?.slice(0, 20)}`).toBe(false);
          if (!checked.ok) expect(checked.text.length).toBeLessThan(500);
        }
      }
    }
  });

  it('names the field that is wrong', () => {
    const text = (message: unknown): string => {
      const checked = parsePageMessage(JSON.stringify(message));
      return checked.ok ? 'taken' : checked.text;
    };
    const settings = { test: 'drain', actuation: {}, drain: { limitA: 'a' }, jobId: null, title: '' };
    expect(text({ type: 'test', settings })).toContain('settings.drain.limitA');
    expect(text({ type: 'test', settings: { ...settings, drain: {}, actuation: { runLimitsA: [5, 3] } } })).toContain('the lower limit comes first');
    expect(text({ type: 'mark', kind: 'jump', label: '' })).toContain('kind');
    expect(text({ type: 'source', do: 'fuse', label: 'F1', fitted: 'no' })).toContain('fitted');
    expect(text({ type: 'launch' })).toContain('"launch"');
  });

  it('can be any text: noise, deep nesting and lying prototypes are refused without a throw', () => {
    const anything = fc.oneof(fc.string(), fc.json(), fc.constant('['.repeat(20_000)), fc.constant('{"a":'.repeat(5000)), fc.constant('{"__proto__":{"type":"record","do":"start"}}'), fc.constant('{"type":"record","do":"start","__proto__":{"x":1}}'), fc.constant('null'), fc.constant('1e999'), fc.constant('{"type":"__proto__"}'));
    fc.assert(
      fc.property(anything, (text) => {
        expect(parsePageMessage(text).ok).toBe(false);
      }),
      { numRuns: 500 },
    );
  });

  it('with a changed character is refused or still a whole message', () => {
    fc.assert(
      fc.property(fc.constantFrom(...MESSAGES), fc.nat(), fc.string({ minLength: 0, maxLength: 3 }), (message, at, insert) => {
        const text = JSON.stringify(message);
        const index = at % text.length;
        const checked = parsePageMessage(text.slice(0, index) + insert + text.slice(index + 1));
        if (checked.ok) expect(MESSAGES.map(({ type }) => type)).toContain(checked.value.type);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('an id', () => {
  it('can name a folder and nothing else', () => {
    for (const good of ['unfiled', '2026-11-25T06-30-00Z', 'minibus-7_a']) expect(check.id(good).ok).toBe(true);
    for (const bad of ['', '.', '..', 'a/b', 'a\\b', 'a.b', '../x', 'a\0', 'a b', 'é', 'x'.repeat(200), 7, null]) expect(check.id(bad).ok).toBe(false);
  });
});

describe('a window', () => {
  it('comes from a query, with its end behind its start', () => {
    expect(check.window({ from: '0', to: '10.5', columns: '800' })).toEqual({ ok: true, value: { from: 0, to: 10.5, columns: 800 } });
    for (const bad of [{}, { from: '0', to: '0', columns: '1' }, { from: '1', to: '0', columns: '1' }, { from: 'a', to: '1', columns: '1' }, { from: '0', to: '1', columns: '0' }, { from: '0', to: '1', columns: '1e9' }, { from: '0', to: 'Infinity', columns: '10' }, { from: ['0', '1'], to: '3', columns: '10' }]) {
      expect(check.window(bad).ok, JSON.stringify(bad)).toBe(false);
    }
  });
});
