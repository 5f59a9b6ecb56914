import { Sheet } from './sheet.ts';
import type { Drawing } from './sheet.ts';
import { earth, resistor } from './symbols.ts';

function side(sheet: Sheet, x: number, isolated: boolean): void {
  sheet.box(x, 130, 140, 60, ['battery', 'minus']);
  sheet.wire([x + 140, 160], [x + 170, 160]);
  resistor(sheet, [x + 170, 160], 'right', ['shunt']);
  sheet.wire([x + 230, 160], [x + 260, 160]);
  sheet.box(x + 260, 130, 140, 60, ['vehicle', 'body']);
  sheet.wire([x + 70, 190], [x + 70, 260]);
  sheet.box(x, 260, 140, 60, ['logger']);
  sheet.box(x + 260, 260, 140, 60, ['computer']);
  if (isolated) {
    sheet.wire([x + 140, 290], [x + 160, 290]);
    sheet.box(x + 160, 260, 80, 60, ['isolator'], true);
    sheet.wire([x + 240, 290], [x + 260, 290]);
  } else {
    sheet.wire([x + 140, 290], [x + 260, 290]);
    sheet.text([x + 200, 280], 'USB', { anchor: 'middle' });
  }
  sheet.wire([x + 400, 160], [x + 430, 160], [x + 430, 290], [x + 400, 290]);
  sheet.text([x + 440, 220], 'charger in');
  sheet.text([x + 440, 238], 'the vehicle');
  sheet.wire([x + 330, 320], [x + 330, 360]);
  earth(sheet, [x + 330, 360]);
  sheet.text([x + 352, 372], 'mains earth');
}

export function drawGrounding(): Drawing {
  const sheet = new Sheet(1160, 450, 'Grounding through USB');
  sheet.text([24, 90], 'without isolator: part of the current goes round the shunt', { bold: true });
  side(sheet, 24, false);
  sheet.text([604, 90], 'with an isolator', { bold: true });
  side(sheet, 604, true);
  sheet.text([24, 425], 'USB ground joins the logger to the body and to mains earth.', { muted: true });
  sheet.text([604, 425], 'No path past the shunt; a fault on the vehicle stays off the computer.', { muted: true });
  return { sheet, description: 'Without an isolator the USB ground is a second path from battery minus to the vehicle body, past the shunt. An isolator between logger and computer opens it.' };
}
