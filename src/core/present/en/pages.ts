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
};
