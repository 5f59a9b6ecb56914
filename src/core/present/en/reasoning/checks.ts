import type { CheckTexts } from '../../words.ts';

const YES_NO = { yes: 'yes', no: 'no' };
const VOLTS = { volts: 'voltage is there', none: 'no voltage' };
const BLACK_LEAD = "The black lead goes to the battery's negative post and stays there.";

/** Every check in plain words: what to do, where to hold the leads, what each result is called. */
export const checks: CheckTexts = {
  listen: { check: 'Press the switch and listen: is it silent?', where: 'At the motor, both ways. No tool needed.', outcomes: { yes: 'no sound at all', no: 'a click, a hum or a running motor is heard' } },
  'try-both-ways': { check: 'Try both ways: does it work one way only?', where: 'At the switch. No tool needed.', outcomes: YES_NO },
  'watch-both-sides': { check: 'Watch both sides while it moves: does one stay behind?', where: 'Both ends of the mechanism. Hands clear.', outcomes: YES_NO },
  'same-fuse': { check: 'Try the other things on the same fuse: are they dead, too?', where: 'The fuse list of the vehicle says what else it feeds.', outcomes: YES_NO },
  'other-side': { check: 'Try the same function on the other side: does it work?', where: 'At its own switch. No tool needed.', outcomes: YES_NO },
  rest: { check: 'Let go, wait two minutes, try again: does it work after a rest?', where: 'A cut-out in the motor needs about a minute without volts to close.', outcomes: YES_NO },
  'by-hand': { check: 'Power off, then move the mechanism by hand: is it free over the whole travel?', where: 'Fuse out first. A worm drive that holds by itself must be uncoupled for this.', outcomes: { yes: 'free all the way', no: 'tight, or stuck somewhere' } },
  'look-at-fuse': { check: 'Check the fuse of the circuit: is it whole?', where: 'Take it out and look, or measure volts on both of its test points.', outcomes: { yes: 'whole', no: 'blown' } },
  'new-fuse': { check: 'Fit a new fuse of the same rating and press once: does it blow again?', where: 'Never a larger one. One press, hand on the switch.', outcomes: { yes: 'it blows again', no: 'it holds' } },
  'unplug-motor': { check: 'Unplug the motor, fit a new fuse of the same rating and press once: does it blow again?', where: 'Never a larger one. The harness end hangs free and touches nothing.', outcomes: { yes: 'it blows again: the harness', no: 'it holds: the motor or what it drives' } },
  wiggle: { check: 'Hold the switch and move the harness and the connectors: does that change it?', where: 'Motor connector first, then the bend where the harness flexes, then the switch. Record meanwhile.', outcomes: YES_NO },
  tap: { check: 'Hold the switch and tap the motor: does it start?', where: 'On its housing, with a screwdriver handle.', outcomes: YES_NO },
  'feed-directly': { check: 'Unplug the motor and feed it straight from the battery: does it run?', where: 'Fused leads on the two pins of the motor side, both polarities. Not where electronics sit in the motor.', outcomes: { yes: 'it runs', no: 'it does not run' } },
  'record-press': {
    check: 'Record one press.',
    where: "Clamp round one wire of the motor. Voltage lead on the motor's feed, back-probed, black lead on the battery's negative post.",
    outcomes: {
      ran: 'it runs and stops', stalled: 'it runs, then stalls', 'locked-on-full-volts': 'volts and current, and it never turns', heavy: 'it runs and draws too much', light: 'it runs and draws too little',
      intermittent: 'the current breaks and comes back', dead: 'volts and no current', starved: 'the voltage sags badly', unpowered: 'no volts and no current',
    },
  },
  'fuse-volts': { check: 'Press, and measure volts on both test points of the fuse.', where: `Red lead on each test point in turn. ${BLACK_LEAD}`, outcomes: { volts: 'volts on both', none: 'volts on one, none on the other' } },
  'switch-volts': { check: 'Press, and measure volts at the input and the output of the switch.', where: `Back-probe its connector while it stays plugged in. ${BLACK_LEAD}`, outcomes: { volts: 'volts at both', 'none-out': 'volts at the input only', 'none-in': 'no volts at the input' } },
  'module-volts': { check: 'Press, and measure volts at the supply and the motor output of the control module.', where: `Back-probe its connector. ${BLACK_LEAD}`, outcomes: { volts: 'volts at both', 'none-out': 'volts at its supply only' } },
  'motor-volts': { check: "Press, and measure volts at the motor's connector.", where: `Back-probe the pin that is live in this direction. ${BLACK_LEAD}`, outcomes: VOLTS },
  'way-back': { check: 'Press, and measure both pins of the motor.', where: `Plus first, then minus, connector plugged in. ${BLACK_LEAD}`, outcomes: { good: 'volts on plus, none on minus', volts: 'volts on minus, too' } },
  'ground-volts': { check: 'Press, and measure the ground point of the circuit.', where: `Red lead on the bolt or eyelet itself. ${BLACK_LEAD}`, outcomes: { good: 'no volts there', volts: 'volts there' } },
  'drop-walk': {
    check: 'With the switch held, walk the voltage lead along the circuit: the section that drops the voltage has the fault.',
    where: `Battery post, fuse out, switch in, switch out, motor plus, motor minus, ground point; clamp on the motor's wire. ${BLACK_LEAD}`,
    outcomes: { fuse: 'lost at the fuse or before it', switch: 'lost in the switch', wiring: 'lost in the wire to the motor', ground: 'lost on the ground side', none: 'no section drops any' },
  },
  reversal: {
    check: 'Measure both leads of the motor, both ways: the polarity must reverse.',
    where: `Both pins of the motor's connector, plugged in, pressed one way and then the other. ${BLACK_LEAD}`,
    outcomes: { 'reverses-well': 'full supply both ways', 'feeds-one-way': 'one way only', 'feeds-no-way': 'neither way' },
  },
  uncouple: {
    check: 'Uncouple the mechanism and record the motor alone.',
    where: 'Same clamp, same lead. Secure the mechanism before it is let go.',
    outcomes: { 'alone-runs': 'the motor runs', 'alone-stands': 'the motor still does not turn' },
  },
  'battery-test': { check: 'Charge the battery and test it: is it good?', where: 'A load or conductance tester on the posts, as its maker says.', outcomes: { yes: 'it passes', no: 'it fails' } },
  'rested-volts': { check: 'Measure the battery after it has rested for six hours.', where: 'On the posts, vehicle asleep, before anything is opened.', outcomes: { full: '12.6 V or more', low: '12.2 V or less' } },
  'charging-volts': { check: 'Start the engine and measure the battery.', where: 'On the posts, fast idle, lights and heater on.', outcomes: { charges: '13.2 to 15.5 V', 'too-little': 'below 13.2 V' } },
  'record-night': {
    check: 'Record the parked vehicle until it has slept for half an hour at least.',
    where: 'Clamp or shunt on the negative cable of the battery, key out of range, latches faked shut.',
    outcomes: { asleep: 'it sleeps under the limit', 'steady-drain': 'it settles above the limit', 'drain-by-waking': 'it sleeps, and wakes again and again', 'still-awake': 'it does not go to sleep' },
  },
  'pull-fuses': {
    check: 'Find the fuse: millivolts across each one, or pull one after the other while recording.',
    where: 'Both test points of each fuse. Clamp stays on the battery cable. Fuses of the body controller last.',
    outcomes: { 'fuse-carries': 'one fuse carries the drain', 'no-fuse-carries': 'none carries it' },
  },
  refit: { check: 'Pull the fuse that carries the drain, put it back and wait: is the drain gone?', where: 'Clamp stays on the battery cable. Wait as long as the vehicle takes to go to sleep.', outcomes: { yes: 'it stays gone', no: 'it comes back' } },
  accessories: { check: 'Ask and look: was anything fitted lately?', where: 'Chargers, trackers, cameras, radios, trailer wiring.', outcomes: YES_NO },
};
