import { liveWords } from '../../src/core/present/wording/finding-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { hasReading, result } from '../state/live.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.test.findingLine;

/** Where the card lies below the chart, its finding is said above it, and a tap leads to the rest. */
export function FindingLine() {
  const latest = result.value;
  if (latest === null || !hasReading.value) return null;
  const { title, tone } = liveWords(latest.result);
  return (
    <button type="button" class={`plate finding-line card-${tone}`} onClick={() => document.querySelector('.test-side .card')?.scrollIntoView({ block: 'start' })}>
      <Glyph shape={tone} size={22} /><b>{title}</b><span class="fine">{words.whyAndWhatTo}</span>
    </button>
  );
}
