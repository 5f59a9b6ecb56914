import type { TestKind } from '../analysis/results.ts';

/** One caution of the trade, shown on set-up cards and printed in reports. */
interface Caution {
  readonly text: string;
  /** where it was read; "common practice" where there is no published source */
  readonly source: string;
}

/** What stands above all of them, on every card and every report. */
export const COMES_FIRST =
  "The vehicle maker's service information, local codes and licensed practice come first. This page does not replace them.";

const ALWAYS: readonly Caution[] = [
  {
    text: 'Only 12 V and 24 V circuits. Never orange cables or any high-voltage part of a hybrid or electric vehicle.',
    source: 'HSE guidance on electric and hybrid vehicles (60 to 1500 V DC counts as high voltage; components stay charged)',
  },
  {
    text: 'Never probe airbag or belt-pretensioner connectors (often yellow). Before unplugging a seat, roof or steering connector: ignition off, battery disconnected, then wait as long as the vehicle\'s own information says; minutes, not seconds.',
    source: 'General air-bag precautions of several makers: waiting times from 10 s to 3 min',
  },
  {
    text: 'Put a fuse in series, close to the source, no larger than the wire allows.',
    source: 'Common practice; blade fuse opening limits: ISO 8820-3',
  },
  {
    text: 'Make and break connections with no current flowing; earth lead off first and back on last. No sparks, flames or phones near a battery that is charging or has just been charged; eye protection, no rings or watches.',
    source: 'HSE INDG139; OSHA 29 CFR 1926.441(a)',
  },
];

const MOTOR: readonly Caution[] = [
  { text: 'Hands, hair and clothes clear of seats, windows, steps, winches and fans before the switch is touched. Wheels chocked.', source: 'Common practice, no published source' },
  {
    text: 'Do not hold a motor stalled: a few seconds are enough for the trace. Its cut-out may open after 4 to 90 s and needs about 60 s to close again.',
    source: "Seat motor service rules of one maker (cut-out below 1 A within 4 to 90 s)",
  },
  { text: 'Never crank the engine or switch on a load above its range through a shunt or a meter.', source: 'GM service bulletin of 1988 (jumper "extremely hot")' },
];

const DRAIN: readonly Caution[] = [
  {
    text: 'Never crank, and never switch to RUN or on a load, with the shunt or meter in the battery path: keep the bypass closed while the vehicle is awake.',
    source: 'GM service bulletin of 1988; several makers\' drain procedures',
  },
  { text: 'Close the bypass before a fuse is pulled or put back: modules can draw several amps as they wake.', source: 'Drain procedure of a 2009 service manual (wait 20 min; several amps while modules cycle down)' },
  { text: 'Do not open a door with a milliamp range connected: fake the latch closed first.', source: 'Drain procedure of a 1997 service manual' },
  { text: 'Key out of range, bonnet switch and latch faked closed, accessories and chargers unplugged, before the clock starts.', source: 'Common practice, no published source' },
];

/** The cautions of a test, most specific first. */
export function cautionsFor(test: TestKind): readonly Caution[] {
  return [...(test === 'actuation' ? MOTOR : DRAIN), ...ALWAYS];
}
