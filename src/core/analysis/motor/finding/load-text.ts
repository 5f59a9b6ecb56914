import type { LoadReading, LoadReason } from '../wire/load-kind.ts';

const BECAUSE: Readonly<Record<LoadReason, string>> = {
  ripple: 'The current carries the ripple of a commutator.',
  'run-up': 'The current falls from its peak as that of a motor that gains speed, and stays restless.',
  'speed-and-stop': 'It runs and stands at the currents of a motor.',
  filament: 'The current starts many times higher and is down within a fraction of a second, faster at first: a filament that heats up.',
  'warms-up': 'The current falls over seconds without any ripple: a heater that warms up.',
  'no-rise': 'The current is there at once and stays level, without a coil\'s rise: a resistance.',
  'sharp-edge': 'The current is there at once and stays level: a resistance, or a winding too quick for this logger.',
  'slow-edge': 'The current comes up slowly to one level: a large coil, a soft start or a motor that takes up play.',
  winding: 'The current comes up as in a winding, and stays level.',
  'slow-rise': 'The current rises slowly to one level, as in a large coil.',
  plunger: 'The current rises slowly and dips as the plunger moves.',
  'stands-by-design': 'It moves for some tens of milliseconds and then stands until the pulse ends, in every press.',
  cranks: 'The current is that of a starter that turns an engine.',
  mixed: 'The presses show different loads.',
  'too-little': 'The current does not show what it flows through.',
};

/** Why the load is taken for what it is. */
export function loadText({ reason }: LoadReading): string {
  return BECAUSE[reason];
}
