import { describe, expect, it } from 'vitest';
import { analyseSituation } from '../../../score/actuation/situations.ts';
import { judgeSituation, makeSituation } from '../../../score/situations/motor/run.ts';

/** Recordings that were once read wrong, by class and seed; their labels follow tests/score/definitions.md from the physics that made them. */
const ONCE_WRONG: readonly (readonly [name: string, seed: number, wasSaid: string])[] = [
  ['burnt-segment-pump', 1001, 'two presses 1.7 s apart were one with its contact lost, as by a cut-out'],
  ['both-ends', 1017, 'what the mechanism drove as it sprang back from its stop was part of the press'],
  ['both-ends', 1026, 'the same made three presses of one, and a clamp for alternating current of its sensor'],
  ['both-ends', 1030, 'a sensor that rests at zero after a rebound was one for alternating current'],
  ['lamp', 1003, 'a level between two steps of the converter was restless, and so a motor'],
  ['lamp', 1006, 'a lamp was a motor with a usual load'],
  ['cold-grease', 1401, 'a motor in stiff grease was a lamp'],
  ['servo', 1015, 'a servo was a lamp'],
  ['broken-gear', 1003, 'the ripple of a motor that drives nothing was a chopped supply'],
  ['burnt-segment-pump', 1402, 'the notches of a lost coil were a chopped supply'],
  ['burnt-segment-pump', 1404, 'four turns of a rotor with a lost coil were a beat'],
  ['chopped-20k', 1402, 'a fast chopping folded to near half the rate was a contact lost six times'],
  ['chopped-20k', 1403, 'what is left of a folded chopping was a beat'],
  ['solenoid-stuck', 1402, 'a coil whose rise lies between a winding and a solenoid was a locked motor'],
  ['slow-logger', 1302, 'a ripple of 196 Hz, folded to 4 Hz by 200 readings a second, was a tight spot once a turn'],
  ['soft-start', 1602, 'a soft start that had come up to its level was a stall'],
  ['tips-clipped', 1601, 'a switch-on beyond the end of the range was a stall'],
  ['speed-step', 1501, 'a blower set to a higher speed, with the rush of its rotor, was a stall'],
  ['second-joins', 1501, 'a second motor that started beside the first was a stall'],
  ['broken-gear', 1502, 'the ripple of a motor that drives nothing, as a slow logger reads it, was a contact lost twenty times'],
  ['soft-start', 1503, 'a soft start that comes up to where its ripple first shows was a stall'],
  ['one-way-hard', 1503, 'a motor at the level at which it ran in another press never turned in this one'],
  ['frees-itself', 1505, 'a motor that broke free after a second was a heater'],
  ['starved-wire', 1505, 'a motor that creeps on 4 V never turned'],
  ['stall-ptc', 1506, 'a stall that a protector ended was a heater'],
  ['burnt-segment-pump', 1506, 'the notches of a lost coil that leave half of the current were a chopped supply'],
  ['bench-supply', 1701, 'a motor that gains speed on a supply with a current limit stood still'],
  ['heater-pulsed', 1701, 'a heater behind a pulsed supply was a locked motor'],
  ['inverter', 1711, 'what swings at twice the mains frequency was a locked motor'],
  ['reads-zero', 1701, 'a converter that gave zero for 50 ms was a lost contact'],
  ['phone-buzz', 1701, 'a telephone beside the lead was a contact lost sixty times'],
  ['injectors-beside', 1701, 'the injectors of an idling engine were a burnt commutator bar'],
  ['volt-lead-off', 1701, 'a voltage lead that had slipped off was a starved feed'],
  ['volt-divider-wrong', 1701, 'a voltage channel that reads half was a starved feed'],
  ['one-lead-tap', 1701, 'one motor lead measured against ground was a starved feed in the one direction'],
  ['alternator-takes-over', 1102, 'a regulator that cut in during the run was a feed of 26 ohm, with -394 V at the switch-on'],
];

describe('a recording that was once read wrong', () => {
  it.each(ONCE_WRONG)('%s, seed %d: %s', (name, seed) => {
    const { judgement } = judgeSituation(makeSituation(name, seed), analyseSituation);
    expect(judgement.reasons.filter((reason) => !reason.startsWith('cannot-tell'))).toEqual([]);
  });
});
