import type { TestKind } from '../analysis/results.ts';

/** Cautions of the trade, shown on set-up cards and printed in reports, with where each was read; "common practice" where there is no published source. */
export const CAUTION_SOURCES = {
  'high-voltage': 'HSE guidance on electric and hybrid vehicles (60 to 1500 V DC counts as high voltage; components stay charged)',
  airbags: 'General air-bag precautions of several makers: waiting times from 10 s to 3 min',
  'fuse-in-series': 'Common practice; blade fuse opening limits: ISO 8820-3',
  'no-current': 'HSE INDG139; OSHA 29 CFR 1926.441(a)',
  hands: 'Common practice, no published source',
  'stalled-motor': "Seat motor service rules of one maker (cut-out below 1 A within 4 to 90 s)",
  cranking: 'GM service bulletin of 1988 (jumper "extremely hot")',
  bypass: 'GM service bulletin of 1988; several makers\' drain procedures',
  'bypass-fuses': 'Drain procedure of a 2009 service manual (wait 20 min; several amps while modules cycle down)',
  door: 'Drain procedure of a 1997 service manual',
  'before-the-clock': 'Common practice, no published source',
} as const;

export type Caution = keyof typeof CAUTION_SOURCES;

const ALWAYS: readonly Caution[] = ['high-voltage', 'airbags', 'fuse-in-series', 'no-current'];
const MOTOR: readonly Caution[] = ['hands', 'stalled-motor', 'cranking'];
const DRAIN: readonly Caution[] = ['bypass', 'bypass-fuses', 'door', 'before-the-clock'];

/** The cautions of a test, most specific first. */
export function cautionsFor(test: TestKind): readonly Caution[] {
  return [...(test === 'actuation' ? MOTOR : DRAIN), ...ALWAYS];
}
