import { decimal, formatCurrent, formatDuration, listAnd, significant } from '../locale.ts';
import type { MotorWords } from '../../texts/motor-words.ts';

const rate = (rateHz: number): string => `${significant(rateHz, 3)} readings a second`;

export const motorProblems: MotorWords['problems'] = {
  'no-samples': () => 'The recording has no readings.',
  'too-short': ({ samples, durationS }) => `The recording has ${samples} readings in ${significant(durationS, 2)} s: too little to judge.`,
  gaps: ({ count, firstS }) => `Readings are missing in ${count === 1 ? 'one place, at' : `${count} places, the first at`} ${decimal(firstS, 2)} s; what happened there is not judged.`,
  'uneven-rate': () => 'Readings come at uneven intervals: switching times are less certain.',
  'rate-too-low': ({ rateHz }) => `${rate(rateHz)} miss the inrush peak; record at 1000 or more.`,
  constant: ({ levelA }) => `The current reads ${formatCurrent(levelA)} throughout, with no noise at all: check that the sensor is connected and switched on.`,
  aliasing: ({ rateHz, refused, sureHz }) =>
    refused
      ? `At ${rate(rateHz)} this ripple may be the alias of a faster one, so no frequency is given. Record faster.`
      : `At ${rate(rateHz)} a faster ripple could show up at the frequency given, and the current changed too little to rule that out. Record at ${sureHz} or more to be sure.`,
  offset: ({ levelA }) => (levelA === null ? 'The recording holds no moment without current, so the sensor\'s zero could not be checked; zero was assumed.' : `With no current the sensor reads ${formatCurrent(levelA)}; this was subtracted. Set zero with no current flowing.`),
  'offset-drift': ({ driftA }) => `The sensor's zero drifted by ${formatCurrent(driftA)}; this was corrected. Let it warm up and do not move it.`,
  'implausible-unit': ({ peakA }) => `Readings reach ${significant(peakA, 3)} A: these may be milliamps. Set the unit of the current column.`,
  hum: ({ amplitudeA, frequencyHz }) => `Mains hum of ${formatCurrent(amplitudeA)} at ${significant(frequencyHz, 3)} Hz was filtered out. Keep the sensor and its leads away from lamps, chargers and extension leads.`,
  'starts-midway': () => 'The recording starts with current already flowing: the switch-on of the first press is not in it.',
  'ends-midway': () => 'The recording ends with current still flowing: the last press is not complete.',
  clipped: ({ clipA, peaks, runs, stalls, hidesFeed }) => {
    const parts = [...(peaks > 0 ? [`${peaks} inrush ${peaks === 1 ? 'peak' : 'peaks'}`] : []), ...(runs > 0 ? ['running levels'] : []), ...(stalls > 0 ? ['stall levels'] : [])];
    const verb = peaks === 1 && parts.length === 1 ? 'is' : 'are';
    return `Readings stop at ${formatCurrent(clipA)}, the end of the sensor's range: ${parts.length === 0 ? 'single readings' : listAnd(parts)} ${verb} at least that, and how much more is not recorded.${hidesFeed ? ' What is left does not show the feed\'s resistance.' : ''} Use a larger range.`;
  },
  'slow-sensor': ({ followS, bandwidthHz, known, lowPeakA, highPeakA }) => {
    const bandwidth = `${significant(bandwidthHz, 2)} Hz`;
    const why = known ? `A sensor of ${bandwidth} takes ${formatDuration(followS)} to follow` : `At switch-off the reading takes ${formatDuration(followS)} to follow, like a sensor of ${bandwidth} (or a diode across the motor)`;
    return `${why}: the inrush peak was rounded off and is ${highPeakA === null ? `at least ${formatCurrent(lowPeakA)}` : `between ${formatCurrent(lowPeakA)} and ${formatCurrent(highPeakA)}`}. Use a faster clamp or a shunt for the peak; levels are not affected.`;
  },
  'reversed-clamp': () => 'Current flows against the voltage in every press: the clamp is the wrong way round, or the two voltage leads are swapped. Directions are as the sensor reads them.',
  'implausible-voltage': ({ topV, tooHigh }) =>
    tooHigh
      ? `The voltage reads up to ${significant(topV, 3)} V, more than a 12 V or 24 V vehicle has: check the unit of the voltage column and the channel's divider.`
      : `The voltage never rises above ${significant(topV, 3)} V, less than a 12 V vehicle runs on: check the lead's contact, the channel's scale and the battery before judging anything else.`,
  noise: ({ share }) => `The sensor's noise is ${Math.round(share * 100)} % of the running current: ripple and small changes are lost in it. Use a smaller range, or pass the wire through the clamp several times.`,
  'ac-coupled': ({ timeConstantS }) => `A steady current decays towards zero within ${formatDuration(timeConstantS)} and swings past it afterwards: this clamp reads alternating current only. Its levels mean nothing; use a clamp or shunt for direct current.`,
  'clamp-off': ({ times }) => `${times === 1 ? 'Once' : `${times} times`} the voltage sagged as under load while the sensor read nothing: check that the clamp is closed around one wire of this circuit.`,
  'zeroed-under-current': ({ restsAtA }) => `The reading moves more where no current seems to flow than where it does: zero was set while current flowed. ${restsAtA === null ? 'Switch off, set zero again and record again.' : `The level of the pauses, ${formatCurrent(restsAtA)}, was taken for zero.`}`,
  'voltage-elsewhere': ({ times }) => `In ${times === 1 ? 'one press' : `${times} presses`} the voltage reads next to nothing though the motor draws what it draws at full voltage: the voltage lead is not across the motor. Connect it from one motor lead to the other; these readings are left out.`,
  background: ({ levelA }) => `${formatCurrent(levelA)} flows before and after every press: another load is on this wire. It was subtracted.`,
  chopped: ({ frequencyHz }) => `The supply is switched on and off${frequencyHz === null ? '' : ` ${significant(frequencyHz, 3)} times a second`}, as a control module does: currents are averages, and speed cannot be read.`,
  'peak-band': ({ rateHz, lowPeakA, highPeakA }) => `At ${rate(rateHz)} the inrush peak is too narrow to read: it is between ${formatCurrent(lowPeakA)} and ${formatCurrent(highPeakA)}. Record faster for the peak.`,
};
