import { useEffect } from 'preact/hooks';
import { Glyph } from '../app/glyph.tsx';
import { formatMoment } from '../reading/format.ts';
import { frameCount, originS } from '../state/live.ts';
import { flagCount, flagLimitA, flagsNow } from '../state/live-flags.ts';
import { onLive } from '../state/live-messages.ts';
import { soundOn } from '../state/preferences.ts';
import { formatCurrent, formatDuration, language } from '../../src/core/present/language.ts';

const words = language.screens.test.flags;

const LISTED = 5;
/** A short tone that is heard over a workshop and is no alarm signal, Hz and s. */
const TONE_HZ = 880;
const TONE_S = 0.18;

/** Stretches past the limit, newest first, as they happen. */
export function FlagList({ show }: { show: (fromS: number, toS: number) => void }) {
  const limitA = flagLimitA.value;
  // lengths and peaks of an open flag change with every block
  void [frameCount.value, flagCount.value];
  const all = flagsNow();
  if (limitA === null || all.length === 0) return null;
  const flags = all.slice(-LISTED).reverse();
  return (
    <section class="plate list" aria-label={words.flags}>
      <h2><Glyph shape="flag" />{words.past(formatCurrent(limitA))} <span class="count">{all.length}</span></h2>
      <ol class="rows">
        {flags.map((flag) => (
          <li key={flag.startS}>
            <button type="button" class="row" onClick={() => show(flag.startS - 1, flag.endS + 1)}>
              <span class="row-words"><b>{words.at(formatMoment(flag.startS - originS.value, 30))}</b> <span>{words.for(formatDuration(flag.endS - flag.startS))}</span></span>
              <span class="row-figure">{formatCurrent(flag.peakA)}</span>
            </button>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The switch for the sound, off until wanted: browsers let a page sound only after a touch, which this is. */
export function SoundSwitch({ title = words.soundWhenAReading }: { title?: string }) {
  useEffect(() => {
    const heard = (): void => {
      if (soundOn.peek()) sound();
    };
    const stops = [onLive('flag', heard), onLive('night', heard)];
    return () => stops.forEach((stop) => stop());
  }, []);
  return (
    <button
      type="button" class="tool" aria-pressed={soundOn.value} title={title}
      onClick={() => {
        soundOn.value = !soundOn.value;
        if (soundOn.value) sound();
      }}
    >
      <Glyph shape="sound" />{words.sound} {soundOn.value ? words.on : words.off}
    </button>
  );
}

let audio: AudioContext | null = null;

function sound(): void {
  audio ??= new AudioContext();
  const tone = audio.createOscillator();
  const volume = audio.createGain();
  tone.frequency.value = TONE_HZ;
  volume.gain.setValueAtTime(0.25, audio.currentTime);
  volume.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + TONE_S);
  tone.connect(volume).connect(audio.destination);
  tone.start();
  tone.stop(audio.currentTime + TONE_S);
}
