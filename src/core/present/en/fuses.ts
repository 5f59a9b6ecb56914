import type { FuseTexts } from '../words.ts';

export const fuses: FuseTexts = {
  notes: {
    'fuse-unknown': (fuse) => `${fuse}: no source gives the resistance of this fuse. Enter its ohms from the maker's sheet, or measure them: a known current through it, millivolts over amperes.`,
    'fuse-reckoned': (fuse) => `${fuse}: its resistance is estimated from other ratings of the same type, not published. The bounds are wider for it.`,
    'fuse-warm': (fuse) => `${fuse}: it carries more than a fifth of its rating, so it is warm and reads high. The true current is lower than shown, within the bounds. Use a clamp.`,
    'fuse-near-zero': (fuse) => `${fuse}: the reading is close to the meter's own zero error. Hold the probes together, note what the meter shows, and subtract it.`,
    'fuse-open': (fuse) => `${fuse}: it has more than 1 V across it. A fuse that carries current drops millivolts: this one is blown, or the reading is in another unit.`,
    'fuse-sum': () => 'The fuses add up to more than the battery gives. Check whether one of them feeds another, or the vehicle woke between the readings.',
    'fuse-not-in-sum': (fuses) => `The sum leaves out ${fuses}: what they carry is not known. Part of what is left over may be theirs.`,
    'fuse-twice': (fuse) => `${fuse}: it is in the list more than once and is counted each time.`,
  },
  cautions: [
    'Measure on the test points of the fuse itself, not on its holder.',
    'Imitation fuses have a different resistance: this method does not work on them (MACS Service Reports, June 2017).',
  ],
  types: {
    ato: 'blade, regular',
    mini: 'blade, mini',
    'low-mini': 'blade, low mini',
    maxi: 'blade, large',
    micro2: 'blade, micro, two legs',
    micro3: 'blade, micro, three legs',
    jcase: 'cartridge',
  },
};
