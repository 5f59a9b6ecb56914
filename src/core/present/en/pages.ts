import type { PagesTexts } from '../pages-texts.ts';

export const pages: PagesTexts = {
  old: {
    'no-readings': {
      figure: (age) => (age === null ? 'no readings yet' : `${age} old: no readings since`),
      chart: (age) => (age === null ? 'No readings yet.' : `Chart stopped: last reading ${age} ago.`),
      recording: 'No readings: nothing is being recorded.',
      notice: 'The logger sends no readings. Check its lead and its power.',
    },
    'no-word': {
      figure: (age) => (age === null ? 'no readings yet' : `${age} old: no connection`),
      chart: (age) => (age === null ? 'No connection.' : `Chart stopped: last reading ${age} ago, no connection.`),
      recording: 'No readings, no connection: take it that nothing is being recorded.',
      notice: 'The program behind this page is silent. Look at the computer it runs on.',
    },
  },
  zero: {
    none: 'No zero set.',
    notSending: 'The logger is not sending: connect it, then set zero.',
    recording: 'A recording is running: stop it before you change the zero, or its readings would jump.',
    tooFew: (count, windowS) => `Zero not set: only ${count} readings came in the last ${windowS} seconds. Wait until the logger sends, then try again.`,
    volts: (volts) => `Zero not set: there are ${volts.toFixed(1)} V at the motor, so current may be flowing. Switch it off, then set zero.`,
    moving: (by) => `Zero not set: the reading moves by ${by}. Switch the circuit off, or hold the empty clamp still, then try again.`,
    tooFar: (zero, limit) => `Zero not set: the reading is ${zero}, and a zero error of this sensor is at most ${limit}. Take the wire out of the clamp or switch the circuit off. If the sensor really is that far off, type in the zero error from its data sheet.`,
    done: (zero, noise) => `Zero set: ${zero} is subtracted, noise ${noise}.`,
    since: (moved, utc) => `It moved by ${moved} since ${utc} UTC.`,
  },
};
