import type { NamesTexts } from '../texts/names-texts.ts';

export const names: NamesTexts = {
  ways: { forward: 'forward', reverse: 'reverse' },
  findings: {
    normal: 'normal',
    suspect: 'suspect',
    stalled: 'stalled',
    locked: 'locked',
    heavy: 'heavy',
    light: 'light',
    intermittent: 'intermittent',
    dead: 'dead',
    starved: 'starved',
    unpowered: 'unpowered',
    unclear: 'unclear',
    asleep: 'asleep',
    drain: 'drain',
    awake: 'awake',
    waking: 'waking',
    'too-short': 'too-short',
  },
  segments: { inrush: 'inrush', run: 'run', stall: 'stall', dropout: 'contact lost', awake: 'awake', asleep: 'asleep', settled: 'settled', 'wake-up': 'wake-up', gap: 'gap' },
  marks: { note: 'note', pull: 'pull', refit: 'refit', switch: 'switch', wake: 'wake', stretch: 'stretch' },
  yes: 'yes',
  no: 'no',
};
