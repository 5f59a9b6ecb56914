import { part } from './print.ts';
import { Sheet } from './sheet.ts';
import type { Drawing } from './sheet.ts';
import { amplifier, capacitor, ground, net, rail, resistor } from './symbols.ts';
import { CLAMP } from './values.ts';

const ohm = (value: number): string => part(value, 'Ω');

export function drawClamp(): Drawing {
  const sheet = new Sheet(1000, 620, 'Front end for a clamp: in place of the Hall sensor');
  const gains = CLAMP.gains.map((gain) => `${ohm(gain.feedbackOhm)} ${gain.name}`);
  sheet.box(40, 150, 110, 150, ['clamp', 'own battery', '10 or', '100 mV/A']);
  sheet.terminal([150, 190]);
  sheet.terminal([150, 260]);
  sheet.text([162, 180], 'red, +');
  sheet.text([160, 250], 'black');
  sheet.wire([155, 190], [230, 190]);
  resistor(sheet, [230, 190], 'right', [`R31 ${ohm(CLAMP.inputOhm)}`]);
  sheet.wire([155, 260], [190, 260]);
  sheet.dot([190, 260]);
  sheet.wire([190, 260], [190, 310]);
  ground(sheet, [190, 310]);
  sheet.wire([190, 260], [230, 260]);
  resistor(sheet, [230, 260], 'right', [`R32 ${ohm(CLAMP.inputOhm)}`]);
  sheet.wire([290, 190], [460, 190]);
  sheet.wire([290, 260], [420, 260], [420, 250], [460, 250]);
  const amp = amplifier(sheet, [460, 160], 'IC1A');
  // from half the supply to the plus input
  sheet.dot([330, 190]);
  sheet.wire([330, 190], [330, 110], [380, 110]);
  resistor(sheet, [380, 110], 'right', [`R33 ${gains.join(', ')} by S2`]);
  sheet.wire([440, 110], [620, 110]);
  net(sheet, [620, 110], 'half', 'right');
  // feedback
  sheet.dot([330, 260]);
  sheet.wire([330, 260], [330, 360], [460, 360]);
  resistor(sheet, [460, 360], 'right', [`R34 ${gains.join(', ')} by S2`], 'below');
  sheet.wire([520, 360], [620, 360], [620, 220]);
  sheet.wire(amp.out, [700, 220]);
  sheet.dot([620, 220]);
  net(sheet, [700, 220], 'to R2 of the motor logger', 'right');
  sheet.text([714, 245], 'instead of U1');
  // half the supply
  rail(sheet, [120, 440], '5 V');
  resistor(sheet, [120, 440], 'down', ['R35', ohm(CLAMP.middleOhm)]);
  resistor(sheet, [120, 500], 'down', ['R36', ohm(CLAMP.middleOhm)]);
  ground(sheet, [120, 560]);
  sheet.dot([120, 500]);
  sheet.wire([120, 500], [300, 500]);
  sheet.dot([250, 500]);
  ground(sheet, capacitor(sheet, [250, 500], 'down', ['C20', part(CLAMP.middleF, 'F')]));
  sheet.wire([300, 500], [360, 500]);
  const follower = amplifier(sheet, [360, 470], 'IC1B');
  sheet.wire(follower.out, [540, 530]);
  sheet.dot([500, 530]);
  sheet.wire([500, 530], [500, 600], [340, 600], [340, 560], follower.minus);
  net(sheet, [540, 530], 'half', 'right');
  sheet.text([620, 480], 'IC1: MCP6002 on the 5 V, C21 100 nF at its pins.', { muted: true });
  sheet.text([620, 502], 'Black goes to the logger\'s ground only.', { muted: true });
  sheet.text([620, 524], 'After moving S2: the clamp command again.', { muted: true });
  return { sheet, description: 'The clamp\'s red lead and its black lead each go through 100 kiloohm to a difference amplifier, whose output rests at half the supply without current. A switch chooses gain 2 or 10. A divider and a follower make half the supply.' };
}
