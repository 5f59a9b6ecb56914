import type { ReasonTexts } from '../../words.ts';
import { shown } from './shown.ts';
import { decimal, formatCurrent } from '../locale.ts';

const leads = ([aV, bV]: readonly [number, number]): string => `${decimal(aV, 1)} and ${decimal(bV, 1)} V`;

export const reason: ReasonTexts = {
  causes: {
    'fuse-or-feed': 'Fuse or feed',
    switch: 'Switch',
    wiring: 'Wiring or connector',
    ground: 'Ground',
    motor: 'Motor',
    'motor-cut-out': "The motor's own cut-out",
    mechanism: 'Mechanism jammed or dry',
    'broken-drive': 'Drive broken, or broken on one side',
    'control-module': 'Control module',
    'circuit-stays-on': 'A circuit that stays on',
    'module-woken': 'A module that is woken',
    'module-awake': 'A module that never sleeps',
    battery: 'Battery',
    charging: 'Charging',
  },
  states: { open: 'possible', 'less-likely': 'less likely', 'ruled-out': 'ruled out' },
  effects: { 'rules-out': 'ruled out', against: 'counts against it', for: 'points to it' },
  signs: {
    'moves-a-little': { ask: 'It moves a little', yes: 'it moves a little', no: 'it does not move at all' },
    'one-way-only': { ask: 'It works one way only', yes: 'it works one way only', no: 'it does the same both ways' },
    'one-side-only': { ask: 'It twists, or moves on one side only', yes: 'it moves on one side only', no: 'both sides do the same' },
    'no-sound': { ask: 'It does not move and makes no sound', yes: 'it makes no sound', no: 'a sound is heard when the switch is pressed' },
    hums: { ask: 'It does not move and hums', yes: 'it hums and does not move', no: 'it does not hum' },
    'blows-fuse': { ask: 'It blows its fuse', yes: 'it blows its fuse', no: 'its fuse holds' },
    'works-after-rest': { ask: 'It works again after a rest', yes: 'it works again after a rest', no: 'a rest of two minutes changes nothing' },
    'same-fuse-dead': { ask: 'Other things on the same fuse are dead', yes: 'other things on the same fuse are dead', no: 'other things on the same fuse work' },
    'other-side-works': { ask: 'The same function on the other side works', yes: 'the same function on the other side works', no: 'the other side does not work either' },
    'worse-cold': { ask: 'It is worse when cold', yes: 'it is worse when cold', no: 'cold makes no difference' },
    'fuse-good': { ask: 'The fuse is good, checked', yes: 'the fuse was checked and is good', no: 'the fuse is blown' },
    'flat-after-standing': { ask: 'The battery is flat after standing some days', yes: 'the battery is flat after standing', no: 'the battery goes flat in daily use too' },
    'new-accessory': { ask: 'An accessory was fitted lately', yes: 'an accessory was fitted lately', no: 'nothing was fitted lately' },
    'battery-tested-good': { ask: 'The battery was charged and tested good', yes: 'the battery was charged and tested good', no: 'the battery failed its test' },
    'moves-by-hand': { ask: 'It moves freely by hand over the whole travel, power off', yes: 'it moves freely by hand', no: 'it cannot be moved by hand' },
    'runs-fed-directly': { ask: 'It runs when fed straight from the battery', yes: 'it runs when fed straight from the battery', no: 'it does not run even when fed straight from the battery' },
    'changes-when-wiggled': { ask: 'Moving the harness or a connector changes it', yes: 'moving the harness or a connector changes it', no: 'moving the harness and the connectors changes nothing' },
    'starts-when-tapped': { ask: 'It starts when the motor is tapped', yes: 'it starts when the motor is tapped', no: 'tapping the motor changes nothing' },
    'blows-unplugged': { ask: 'The fuse blows with the motor unplugged, too', yes: 'the fuse blows even with the motor unplugged', no: 'with the motor unplugged the fuse holds' },
    'sleeps-after-refit': { ask: 'The drain is gone once its fuse has been out and in again', yes: 'the drain was gone after its fuse had been out and in again', no: 'the drain came back with the fuse' },
  },
  shown,
  points: {
    battery: 'at the battery post',
    'fuse-in': 'on the feed side of the fuse',
    'fuse-out': 'on the load side of the fuse',
    'switch-in': 'at the input of the switch',
    'switch-out': 'at the output of the switch',
    'module-in': 'at the input of the control module',
    'module-out': 'at the output of the control module',
    'motor-plus': "at the motor's plus",
    'motor-minus': "at the motor's minus",
    ground: 'at the ground point',
  },
  pointNames: {
    battery: 'Battery post',
    'fuse-in': 'Fuse, feed side',
    'fuse-out': 'Fuse, load side',
    'switch-in': 'Switch in',
    'switch-out': 'Switch out',
    'module-in': 'Module in',
    'module-out': 'Module out',
    'motor-plus': 'Motor plus',
    'motor-minus': 'Motor minus',
    ground: 'Ground point',
    'battery-minus': 'Battery minus',
  },
  reversal: {
    'both-ways': { title: 'Feed good both ways', text: 'The full supply reaches the motor and reverses. Fuse, switch and feed are good; look at what the current does.' },
    'one-way': { title: 'One way only', text: 'The supply reaches the motor one way only: the switch, the controller that reverses it, or its wire to that lead.' },
    'no-way': { title: 'None', text: 'No supply reaches the motor either way: go up the circuit, fuse first, then the switch.' },
    'no-return': { title: 'No ground', text: 'Both leads are at supply voltage, whichever way the switch is pressed: the ground of the switch is open.' },
    'volts-no-current': { title: 'Volts, no current', text: 'The full supply reverses at the motor and no current flows: the motor, its own cut-out, or its connector.' },
    'cannot-tell': { title: 'Cannot tell', text: 'Too little voltage at the motor: first find where the feed loses it, by the voltage-drop walk.' },
  },
  moments: { pressed: 'while pressed', released: 'with the switch open', parked: 'parked', running: 'with the engine running' },
  read: {
    fuseCarries: (label, lowA, highA) => {
      const [low, high] = [formatCurrent(lowA), formatCurrent(highA)];
      return `${label} carries ${low === high ? low : `${low} to ${high}`}`;
    },
    pastTheFuses: (leftA, fuses) => `at least ${formatCurrent(leftA)} ${fuses === 1 ? 'flows past the one fuse measured' : `flows past the ${fuses} fuses measured`}`,
    leads: (oneWay, otherWay) => `${leads(oneWay)} at the two leads one way, ${leads(otherWay)} the other way`,
  },
  outweighed: (cause) => `nothing measured points here, and far more points to: ${cause}`,
  noNext: (likeliest) => `No further check narrows it down. Repair ${likeliest === null ? 'the likeliest cause' : `the likeliest cause (${likeliest})`}, then record the same test again to prove it.`,
  nothingYet: 'no evidence for or against it yet',
  verify: {
    check: 'Two things here contradict each other. Verify the easier one again.',
    where: 'As the first time: same circuit, same moment, lead on the same pin.',
    first: 'the first one holds',
    second: 'the second one holds',
  },
  leftOut: (traces, test) => `Left out, because it is a different test: ${traces}. This is ${test === 'drain' ? 'a drain' : 'a motor'} case.`,
  proof: {
    'not-tested': () => 'Nothing was recorded after the repair. Record the same test again.',
    confirmed: (cause) => `Confirmed: ${cause}. The same test after the repair no longer shows the fault.`,
    'works-otherwise': (cause) => `It works again, although the earlier evidence had ruled out: ${cause}. Check what else was done in the meantime, or check that evidence again.`,
    works: () => 'It works again: the same test after the repair no longer shows the fault.',
    'still-open': () => 'Not repaired: the trace after the repair still shows a fault. The causes still open are in the list.',
    'cannot-tell': (_, test) =>
      test === 'drain'
        ? 'Cannot tell from the trace after the repair. Record again, until the vehicle has been asleep for a while.'
        : 'Cannot tell from the trace after the repair. Enter the usual running current, or compare with a known-good trace.',
  },
};
