import type { CautionTexts } from '../words.ts';

export const cautions: CautionTexts = {
  comesFirst: "The vehicle maker's service information, local codes and licensed practice come first. This page does not replace them.",
  each: {
    'high-voltage': 'Only 12 V and 24 V circuits. Never orange cables or any high-voltage part of a hybrid or electric vehicle.',
    airbags: 'Never probe airbag or belt-pretensioner connectors (often yellow). Before unplugging a seat, roof or steering connector: ignition off, battery disconnected, then wait as long as the vehicle\'s own information says; minutes, not seconds.',
    'fuse-in-series': 'Put a fuse in series, close to the source, no larger than the wire allows.',
    'no-current': 'Make and break connections with no current flowing; earth lead off first and back on last. No sparks, flames or phones near a battery that is charging or has just been charged; eye protection, no rings or watches.',
    hands: 'Hands, hair and clothes clear of seats, windows, steps, winches and fans before the switch is touched. Wheels chocked.',
    'stalled-motor': 'Do not hold a motor stalled: a few seconds are enough for the trace. Its cut-out may open after 4 to 90 s and needs about 60 s to close again.',
    cranking: 'Never crank the engine or switch on a load above its range through a shunt or a meter.',
    bypass: 'Never crank, and never switch to RUN or on a load, with the shunt or meter in the battery path: keep the bypass closed while the vehicle is awake.',
    'bypass-fuses': 'Close the bypass before a fuse is pulled or put back: modules can draw several amps as they wake.',
    door: 'Do not open a door with a milliamp range connected: fake the latch closed first.',
    'before-the-clock': 'Key out of range, bonnet switch and latch faked closed, accessories and chargers unplugged, before the clock starts.',
  },
};
