import { describe, expect, it } from 'vitest';
import type { LoggerView, ToPage } from '../../src/core/wire/messages.ts';
import { loggerFacts } from '../../web/set-up/logger-facts.ts';
import { damage, freshness, status, zero } from '../../web/state/live.ts';

const LOGGER: LoggerView = {
  kind: 'logger', name: 'bench logger', serial: 'B7', firmware: '1.4', channels: [{ name: 'current', unit: 'A', scale: 0.01, zero: 0 }], rateHz: 500, hasVoltage: false,
  currentRangeA: [-30, 30], controls: null,
};

/** The facts of this logger, with its clock off by so much as is known. */
function facts(driftPpm: number, driftUncertaintyPpm: number): Record<string, string> {
  status.value = { type: 'status', state: 'live', readingAgeS: 0, lineAgeS: 0, recording: false, armed: false, simulated: false, clock: { rateHz: 500.02, driftPpm, driftUncertaintyPpm } } as Extract<ToPage, { type: 'status' }>;
  return Object.fromEntries(loggerFacts(LOGGER).map(({ name, value }) => [name, value]));
}

describe('the facts of a logger', () => {
  it('are what it says of itself and what is seen of it: firmware, rates, drift, losses', () => {
    damage.value = { badCrc: 2, malformed: 1, tooLong: 0, lostBlocks: 7, restarts: 1 };
    zero.value = { type: 'zero', zeroA: 0.012 } as Extract<ToPage, { type: 'zero' }>;
    expect(facts(41, 6)).toMatchObject({
      'Serial number': 'B7', Firmware: '1.4', 'Stated rate': '500 a second', 'Measured rate': '500.0 a second', 'Clock drift against this computer': '41 ± 6.0 ppm', Zero: '12.0 mA',
      'Lines not used': '3 in all', 'Blocks lost': '7 in all', Restarts: '1 in all', 'One count of current': '0.0100 A',
    });
  });

  it('age when nothing comes any more: since when no line has come, until when readings had their rate; of a daemon that is silent no last ten seconds are told', () => {
    const seen = (state: 'no-readings' | 'no-word', lineAgeS: number): Record<string, string> => {
      freshness.value = { state, ageS: 21 };
      status.value = { type: 'status', state: 'lost', readingAgeS: 21.4, lineAgeS, recording: false, armed: false, simulated: false, clock: { rateHz: 500.02, driftPpm: 0, driftUncertaintyPpm: 6 }, share: { linesPerS: 20, damagedPart: 0.4 } } as Extract<ToPage, { type: 'status' }>;
      return Object.fromEntries(loggerFacts(LOGGER).map(({ name, value }) => [name, value]));
    };
    expect(seen('no-readings', 8.9)).toMatchObject({ 'Lines arriving': 'none for 8.0 s', 'Damaged lines': '40 % in the last 10 s', 'Measured rate': '500.0 a second until 21 s ago' });
    // noise goes on
    expect(seen('no-readings', 0.1)).toMatchObject({ 'Lines arriving': '20 a second', 'Measured rate': '500.0 a second until 21 s ago' });
    status.value = { ...status.value!, lineAgeS: 2.5, lines: ['U: twelve'] };
    expect(loggerFacts(LOGGER)).toContainEqual({ name: 'Lines arriving', value: '20 a second' });
    const silent = seen('no-word', 0.1);
    expect([silent['Lines arriving'], silent['Damaged lines']]).toEqual([undefined, undefined]);
    freshness.value = { state: 'no-word', ageS: null };
  });

  it('leave a drift open that is known to no better than a ceramic resonator keeps by itself, 0.5 %', () => {
    expect(facts(24_000, 940_000)['Clock drift against this computer']).toBe('not known yet');
    expect(facts(4000, 5001)['Clock drift against this computer']).toBe('not known yet');
    expect(facts(4000, 5000)['Clock drift against this computer']).toContain('±');
  });
});
