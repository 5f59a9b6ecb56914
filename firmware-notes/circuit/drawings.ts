import { drawClamp } from './draw-clamp.ts';
import { drawDrain } from './draw-drain.ts';
import { drawGrounding } from './draw-grounding.ts';
import { drawMotor } from './draw-motor.ts';
import type { Drawing } from './sheet.ts';

/** The drawings by the file each is written to. */
export const DRAWINGS: Readonly<Record<string, () => Drawing>> = {
  'schematic-hall.svg': drawMotor,
  'schematic-clamp.svg': drawClamp,
  'schematic-shunts.svg': drawDrain,
  'schematic-grounding.svg': drawGrounding,
};
