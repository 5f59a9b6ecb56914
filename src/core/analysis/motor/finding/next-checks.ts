import type { Problem } from '../../../problems.ts';
import type { ActuationVerdictFinding, VerdictBasis } from '../../results.ts';
import { hiddenByRange } from './evidence.ts';
import type { VerdictFacts } from './types.ts';

/**
 * What to check next, in the trade's order: easy before hard, cheap before dear, and no part bought on one clue. Volts present at the
 * motor and no movement point at the motor, no volts point up the circuit to the switch (common practice, no published source).
 */
export function nextChecks(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts): string[] {
  return [...unitChecks(facts), ...commutatorChecks(finding, facts), ...findingChecks(finding, basis, facts)];
}

/** Figures in the wrong unit make every other check idle. */
function unitChecks({ problems }: VerdictFacts): string[] {
  const has = (code: Problem['code']): boolean => problems.some((problem) => problem.code === code);
  return [
    ...(has('implausible-unit') ? ['Check the unit of the current column first: all of this holds only if these are amperes.'] : []),
    ...(has('implausible-voltage') ? ['Check the voltage channel first: what is said of the feed holds only if these are volts at the right place.'] : []),
  ];
}

/** A low commutation is worth a look at the brushes while the motor still runs; a standing motor or a bad feed comes first. */
function commutatorChecks(finding: ActuationVerdictFinding, facts: VerdictFacts): string[] {
  if (finding !== 'suspect' && finding !== 'heavy' && finding !== 'light') return [];
  if (!facts.actuations.some((actuation) => actuation.bad_commutation !== undefined)) return [];
  return [
    'Work the motor some twenty times and record again: a dirty commutator clears itself, a burnt or high segment stays.',
    'If it stays, look at the brushes and the commutator where they can be reached, and record the same motor of the other side, before a motor is bought.',
  ];
}

function findingChecks(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts): string[] {
  const voltage = facts.place === 'motor' ? [] : ['Record once more with the voltage lead at the motor\'s feed: it tells the motor from what feeds it.'];
  switch (finding) {
    case 'normal':
      if (facts.actuations.every(({ run }) => run === null)) return ['Hold the switch for a second or more and record again: so short a press shows that the motor starts, and no more.'];
      if (basis === 'none') return ['Type in the usual running current, or compare with a known-good vehicle, to tell a heavy mechanism from a healthy one.', 'Record at 1000 readings a second or more, with the switch-on in the trace: it shows the motor\'s stall current.'];
      if (basis === 'itself') return ['Nothing here points to a bad part. Type in the usual running current, or compare with a known-good vehicle, to be sure of the load.'];
      return ['Nothing here points to a bad part. If the complaint comes and goes, record it while it happens.'];
    case 'suspect':
      return ['Compare with the same motor of the other side, or with a known-good trace.', 'Uncouple the mechanism and record the motor alone: if it still looks like this, it is the motor.'];
    case 'stalled':
      return [
        'Look where the mechanism stood at that moment: at its end of travel this is an operator holding on, anywhere else something jams it.',
        ...(facts.actuations.some(({ stalls }) => stalls.some((stall) => stall.cut_out === true)) ? ['Leave it switched off for a minute or two: a cut-out that has opened needs about that long to close, and until then a good motor is dead.'] : []),
        'Clear and look along the slide or linkage for grit, a bent part or a trapped object, and move it by hand with the power off.',
        'Drive it the other way and compare. If it stalls there too, uncouple the mechanism and test the motor alone before any part is bought.',
      ];
    case 'locked':
      return [
        'Power off, then try to move the mechanism by hand: a seized mechanism holds a good motor.',
        'Uncouple the mechanism and press again: a motor that now runs is not the fault.',
        ...voltage,
      ];
    case 'heavy':
      return ['Clean and lubricate as the maker says, look for a dragging seal, slide or bearing, and test again.', 'Compare both directions and the other side of the vehicle.', 'Uncouple the mechanism and record the motor alone: still heavy means the motor, else the mechanism.'];
    case 'light':
      return ['Watch whether the mechanism moves at all while the motor runs: a stripped gear, sheared pin or slipped cable leaves the motor with nothing to drive.', 'Check that the clamp is on this motor\'s wire only.'];
    case 'intermittent':
      return [
        'Hold the switch and move its connector, the motor connector and the harness by hand while recording: mark when it breaks.',
        'Measure the drop across the switch contacts and across the ground point under load.',
        ...(facts.place === 'motor' ? ['Look at the voltage in the breaks: gone means up the circuit (switch, relay, connector), still there means the motor (brushes, its own cut-out).'] : voltage),
      ];
    case 'dead':
      return [
        'Volts at the motor and no current: check the motor\'s ground first, by the drop from its ground wire to the battery post with the switch held.',
        'Unplug the motor and look at its connector for spread, burnt or wet terminals.',
        'Then measure the motor\'s resistance: open means brushes, commutator or its own cut-out. Tap it while the switch is held before condemning it.',
      ];
    case 'starved':
      return [
        'Check battery state and terminals first, then repeat with a charger or known-good battery on.',
        'Measure the drop section by section with the motor running: battery post to fuse, fuse to switch, switch to motor, and motor ground to battery post. The section that loses the volts has the fault.',
        'Judge the motor only after the feed is right.',
      ];
    case 'unpowered':
      return ['Check the fuse, and that the ignition is in the position that feeds this circuit.', 'Go up the circuit from the motor: connector, switch output, switch input, fuse. The last point with volts lies before the fault.'];
    case 'unclear':
      if (facts.actuations.length === 0 && facts.problems.some(({ code }) => code === 'too-short' || code === 'no-samples')) return ['Record from before the switch is pressed until after it is let go.'];
      if (facts.actuations.length > 0 && facts.actuations.every(hiddenByRange)) return ['Record again with a larger range: a clamp or shunt that reads at least twice as far.', ...voltage];
      return facts.actuations.length === 0
        ? ['Check that the clamp is round one wire of this circuit only, and that its range suits the motor.', 'Put the voltage lead on the motor\'s feed and press the switch again: volts without current point at the motor, no volts up the circuit.']
        : ['Record again and start before the switch is pressed, so that the switch-on peak is in the trace.', ...voltage];
  }
}
