import type { CheckCode } from '../../../src/core/reason/checks.ts';
import type { Cause, Signs } from '../../../src/core/reason/types.ts';
import type { MotorVehicle, ParkedVehicle } from './bench-vehicle.ts';

/** One sentence as it is said at the counter, what it gives away, the fault behind it, and the tests an experienced technician makes before the repair. */
export interface Complaint {
  readonly said: string;
  readonly noticed: Signs;
  readonly vehicle: MotorVehicle | ParkedVehicle;
  readonly fault: string;
  readonly truth: Cause;
  readonly expert: readonly CheckCode[];
}

export const COMPLAINTS: readonly Complaint[] = [
  {
    said: 'After the rain the step of minibus 4 does nothing, not a sound', noticed: { 'no-sound': 'yes' },
    fault: 'the pin of the motor connector has rotted off', truth: 'wiring', vehicle: { test: 'actuation', ohm: { 'to-motor': Infinity } }, expert: ['motor-volts', 'switch-volts', 'module-volts'],
  },
  {
    said: 'The sliding door of the van opens and will not close', noticed: { 'one-way-only': 'yes' },
    fault: 'the closing relay in the door controller has burnt', truth: 'control-module', vehicle: { test: 'actuation', ohm: { module: Infinity }, oneWay: true }, expert: ['reversal', 'switch-volts', 'module-volts'],
  },
  {
    said: 'The winch hardly pulls any more', noticed: { 'moves-a-little': 'yes' },
    fault: 'white powder under the ground strap, 0.12 ohm', truth: 'ground', vehicle: { test: 'actuation', ohm: { ground: 0.12 }, runningA: 38 }, expert: ['record-press', 'drop-walk'],
  },
  {
    said: 'The ramp of the library bus goes half way, stops and buzzes', noticed: { 'moves-a-little': 'yes' },
    fault: 'a guide is bent', truth: 'mechanism', vehicle: { test: 'actuation', mechanism: 'stops-halfway' }, expert: ['record-press', 'by-hand'],
  },
  {
    said: 'One hears the motor of the step, but the step stays where it is', noticed: { 'no-sound': 'no' },
    fault: 'the coupling has sheared', truth: 'broken-drive', vehicle: { test: 'actuation', drive: 'sheared' }, expert: ['record-press'],
  },
  {
    said: 'Since the door was set it blows its fuse', noticed: { 'blows-fuse': 'yes' },
    fault: 'the harness is pinched under the rail', truth: 'wiring', vehicle: { test: 'actuation', short: 'harness' }, expert: ['unplug-motor'],
  },
  {
    said: 'The tail lift stops now and then in mid-travel and goes on by itself', noticed: { 'moves-a-little': 'yes' },
    fault: 'a brush hangs in its guide', truth: 'motor', vehicle: { test: 'actuation', motor: 'brush-hangs' }, expert: ['record-press', 'wiggle', 'drop-walk'],
  },
  {
    said: 'The library bus is flat every Monday since the ticket machine was fitted', noticed: { 'flat-after-standing': 'yes', 'new-accessory': 'yes' },
    fault: 'the ticket machine wakes the controllers every few minutes', truth: 'module-woken', vehicle: { test: 'drain', falling: 'woken-again', accessory: true, battery: 'sound' }, expert: ['record-night'],
  },
  {
    said: 'The van is jump started every other morning, though it is driven all day', noticed: { 'flat-after-standing': 'no' },
    fault: 'the battery is worn out', truth: 'battery', vehicle: { test: 'drain', battery: 'worn' }, expert: ['battery-test', 'charging-volts'],
  },
  {
    said: 'The minibus was flat after the long weekend', noticed: { 'flat-after-standing': 'yes' },
    fault: 'the lamp in the tool box stays on', truth: 'circuit-stays-on', vehicle: { test: 'drain', extraA: 0.41, fuse: 'F9', battery: 'sound' }, expert: ['record-night', 'pull-fuses', 'refit'],
  },
];
