import { formatCurrent } from '../../../units.ts';
import type { EventSeen } from './press-events.ts';

/** One sentence for an event. */
export function eventText({ code, sizeA }: EventSeen): string {
  const size = sizeA === null ? '' : formatCurrent(Math.abs(sizeA));
  switch (code) {
    case 'reversal':
      return `Reversed without a pause${size === '' ? '' : `, from ${size}`}.`;
    case 'slip':
      return 'The drive slipped: the current fell at once and the motor turned on.';
    case 'cut-out':
      return `The motor's own cut-out opened${size === '' ? '' : ` at ${size}`}.`;
    case 'plunger':
      return 'The plunger moved.';
    case 'step':
      return `Something on this wire changed by ${size} at once.`;
    case 'spike':
      return `A single reading of ${size}, a disturbance.`;
  }
}
