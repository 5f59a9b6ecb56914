import { formatCurrent, formatCurrentBounds, formatDuration, significant } from './locale.ts';
import type { CalibrationWords } from '../texts/calibration-words.ts';

export const calibration: CalibrationWords = {
  nearLimit: ({ figure, at_s: atS, value_a: valueA, low_a: lowA, high_a: highA, limit_a: limitA }, count) =>
    `${figure === 'asleep' ? 'The level asleep' : `${count > 1 ? `In ${count} presses the running current, first in` : 'The running current of'} the press at ${formatDuration(atS ?? 0)}`}, ${formatCurrentBounds(valueA, lowA, highA)}, is too close to the limit of ${formatCurrent(limitA)} to call.`,
  nearByGain: ({ at_s: atS, value_a: valueA, limit_a: limitA, percent }) =>
    `The running current of the press at ${formatDuration(atS)}, ${formatCurrent(valueA)}, is close to the limit of ${formatCurrent(limitA)}, and the gain error of this sensor is not known: ± ${significant(percent, 2)} % would be usual, and is not in the bounds. Calibrate it, or enter its gain error.`,
  sources: {
    noise: 'noise and scatter from press to press',
    resolution: 'resolution of the converter',
    zero: 'zero setting',
    'zero-unknown': 'zero, not stated',
    'zero-drift': 'zero drift',
    gain: 'gain of the sensor',
    temperature: 'temperature effect on the zero',
    bandwidth: 'bandwidth of the sensor',
    model: 'method of analysis',
  },
  faults: {
    'nothing-known': 'it has no zero, no known current, no shunt and no part',
    'point-needs-zero': 'one known current gives the gain only together with a zero: read the zero too, or a second current',
    'point-at-zero': 'a known current, or the reading at it, is zero: use a larger current',
    'points-too-close': 'the two known currents are too close together to give the gain: choose them at least a fifth apart',
    'unknown-part': 'the part is not in the table of sensors',
    'gain-implausible': 'the gain is more than twenty times off: a unit or a reading is wrong',
    'not-positive': 'a resistance, class or tolerance is not above zero',
  },
  refused: (why) => `This calibration cannot be used: ${why}.`,
  unused: (channel, why) => `The calibration of the ${channel} cannot be used (${why}): the values are shown as recorded.`,
  advice: {
    proves: ({ halfWidthA }, { currentA }) => `proves ${formatCurrent(currentA)} within ± ${formatCurrent(halfWidthA)}`,
    range: ({ part }, { mostA }) => `up to ${formatCurrent(mostA)} may flow, its range ends at ${formatCurrent(part.rangeA)}`,
    uncertain: ({ halfWidthA }, { currentA, allowedA }) => `± ${formatCurrent(halfWidthA)} is too much to prove ${formatCurrent(currentA)} (± ${formatCurrent(allowedA)} would do)`,
    slow: ({ part }, { bandwidthHz }) => `too slow: ${significant(part.bandwidthHz ?? 0, 2)} Hz, ${significant(bandwidthHz, 2)} Hz are needed`,
    unknown: () => 'cannot tell: how far its zero drifts, or how fast it is, is not known',
  },
};
