import { Glyph } from '../app/glyph.tsx';
import { route } from '../app/route.ts';
import { showLogger } from '../app/show-logger.ts';
import { language } from '../../src/core/present/language.ts';
import { damage, endedByItself, freshness, link, notices, oddLines, reading, recording, refused, skippedFrames, source, unreadable } from '../state/live.ts';

const words = language.screens.test.notices;

/** What is not as it should be, in words and with the way out; nothing when all is well. */
export function Notices() {
  const lines: { key: string; tone: 'fault' | 'open'; text: string; action?: preact.ComponentChild }[] = [];
  const { state, text } = link.value;
  if (state === 'lost') {
    lines.push({ key: 'link', tone: 'fault', text: words.connectionLostTryingAgain(text, recording.value === null ? '' : words.whetherTheRecordingGoes) });
  }
  if (state === 'connecting') lines.push({ key: 'link', tone: 'open', text: words.connectingToTheProgram });
  const now = source.value;
  // lines that are no readings are shown by themselves, and say more
  const odd = oddLines.value.length > 0;
  const { state: age } = freshness.value;
  if (state === 'open' && age === 'no-word') lines.push({ key: 'age', tone: 'fault', text: language.pages.old[age].notice });
  else if (state === 'open' && now !== null && now.state !== 'live' && !odd) lines.push({ key: 'source', tone: now.state === 'failed' || now.state === 'lost' ? 'fault' : 'open', text: sourceWords(now.state, now.text), action: <ToTheLogger /> });
  else if (state === 'open' && now?.state === 'live' && !odd && reading.value !== null && age !== 'fresh') lines.push({ key: 'age', tone: 'fault', text: language.pages.old[age].notice });
  if (endedByItself.value !== '') lines.push({ key: 'ended', tone: 'fault', text: words.theRecordingHasEnded(endedByItself.value), action: dismiss(() => (endedByItself.value = '')) });
  const spoilt = damageWords();
  if (spoilt !== '') lines.push({ key: 'damage', tone: 'open', text: spoilt });
  if (skippedFrames.value > 0) lines.push({ key: 'skipped', tone: 'open', text: words.thisPageReadsToo(skippedFrames.value), action: dismiss(() => (skippedFrames.value = 0)) });
  if (unreadable.value !== '') lines.push({ key: 'unreadable', tone: 'open', text: words.somethingArrivedThatThis(unreadable.value), action: dismiss(() => (unreadable.value = '')) });
  const last = notices.value[notices.value.length - 1];
  if (last !== undefined) lines.push({ key: 'notice', tone: 'open', text: last.text, action: dismiss(() => (notices.value = [])) });
  if (refused.value !== null && !(refused.value.what === 'zero' && route.value.screen === 'setup')) lines.push({ key: 'refused', tone: 'fault', text: refused.value.text, action: dismiss(() => (refused.value = null)) });
  return (
    <div class="notices" role="status" aria-live="polite">
      {lines.map((line) => (
        <div class={`notice notice-${line.tone}`} key={line.key}><Glyph shape={line.tone} size={18} /><p>{line.text}</p>{line.action}</div>
      ))}
    </div>
  );
}

function ToTheLogger() {
  return <button type="button" class="tool" onClick={showLogger}>{words.toTheLogger}</button>;
}

function dismiss(act: () => void) {
  return <button type="button" class="tool" onClick={act}>{words.dismiss}</button>;
}

/** What a source is doing, and what to do about it. */
export function sourceWords(state: keyof typeof language.pages.source, text: string): string {
  return `${language.pages.source[state]} ${text}`.trim();
}

function damageWords(): string {
  const counts = damage.value;
  if (counts === null) return '';
  const parts = [
    counts.badCrc > 0 && words.withAWrongCheckSum(counts.badCrc),
    counts.malformed > 0 && oddLines.value.length === 0 && words.thatAreNoReading(counts.malformed),
    counts.tooLong > 0 && words.tooLong(counts.tooLong),
  ].filter(Boolean);
  const lines = parts.length === 0 ? '' : words.linesLeftOut(parts.join(', '));
  const lost = counts.lostBlocks > 0 ? words.blocksLostOnThe(counts.lostBlocks) : '';
  const restarts = counts.restarts > 0 ? words.theLoggerRestarted(counts.restarts === 1 ? 'once' : words.times(counts.restarts)) : '';
  return `${lines}${lost}${restarts}`.trim();
}
