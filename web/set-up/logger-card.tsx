import { en } from '../../src/core/present/en/index.ts';
import { formatCurrent, significant } from '../../src/core/units.ts';
import { Glyph } from '../app/glyph.tsx';
import { formatCount } from '../reading/format.ts';
import { OLD_AFTER_S } from '../state/freshness.ts';
import { damage, freshness, hasReading, sensorRangeA, source, status, zero } from '../state/live.ts';
import { oldWords } from '../test/figures.tsx';

const words = en.pages.logger;
/** Bytes that are no text are shown as a dot. */
const NO_TEXT = /[^\x20-\x7e\u00a0-\u024f]/g;

/** What the logger says of itself, what is seen of it, and its lines as they come, damaged ones marked. */
export function LoggerCard() {
  const logger = source.value?.logger ?? null;
  if (logger === null || logger.kind === 'virtual' || logger.kind === 'replay') return null;
  const heard = status.value?.heard ?? [];
  return (
    <section class="plate" aria-label={words.name}>
      <h2>{words.name}</h2>
      {!hasReading.value && <p class="old-note" role="status">{oldWords()}</p>}
      <dl class={hasReading.value ? 'facts' : 'facts is-old'}>{factsOf().map(({ name, value }) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>
      {heard.length > 0 && (
        <>
          <h3>{words.lines}</h3>
          <ol class={linesAreOld() ? 'heard is-old' : 'heard'} aria-label={words.lines}>
            {heard.map(({ text, damaged }, i) => (
              <li class={damaged ? 'is-damaged' : ''} key={`${i} ${text}`}>{damaged && <b><Glyph shape="fault" size={14} />{words.damaged} </b>}<code>{text.replaceAll(NO_TEXT, '·')}</code></li>
            ))}
          </ol>
        </>
      )}
    </section>
  );
}

/** Lines may come though none of them is a reading. */
function linesAreOld(): boolean {
  return !hasReading.value && (freshness.value.state === 'no-word' || (status.value?.lineAgeS ?? Infinity) > OLD_AFTER_S);
}

function factsOf(): { name: string; value: string }[] {
  const { facts } = words;
  const logger = source.value!.logger!;
  const counts = damage.value;
  const clock = status.value?.clock;
  const range = sensorRangeA.value;
  const lines: { name: string; value: string }[] = [{ name: facts.kind, value: words.kinds[logger.kind === 'numbers' ? 'numbers' : 'logger'] }];
  const add = (name: string, value: string | null | undefined): void => {
    if (value != null) lines.push({ name, value });
  };
  add(facts.serial, logger.serial);
  add(facts.firmware, logger.firmware);
  add(facts.stated, logger.rateHz === null ? null : words.perSecond(formatCount(logger.rateHz)));
  add(facts.measured, clock === undefined ? words.notYet : words.perSecond(significant(clock.rateHz, 4)));
  add(facts.drift, clock === undefined || logger.kind === 'numbers' ? null : words.ppm(significant(clock.driftPpm, 2), significant(clock.driftUncertaintyPpm, 2)));
  add(facts.range, range === null ? words.rangeUnknown : `${formatCurrent(range[0]).replace('-', '−')} to ${formatCurrent(range[1])}`);
  add(facts.zero, zero.value?.zeroA == null ? words.noZero : formatCurrent(zero.value.zeroA));
  for (const channel of logger.channels ?? []) if (channel.scale !== 1) add(words.channel(channel.name), words.count(`${significant(channel.scale, 3)} ${channel.unit}`));
  if (counts !== null) {
    add(facts.damagedLines, formatCount(counts.badCrc + counts.malformed + counts.tooLong));
    add(facts.lost, formatCount(counts.lostBlocks));
    add(facts.restarts, formatCount(counts.restarts));
  }
  return lines;
}
