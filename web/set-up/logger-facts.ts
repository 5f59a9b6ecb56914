import { formatCount, formatCurrent, formatDuration, language, significant } from '../../src/core/present/language.ts';
import type { LoggerView } from '../../src/core/wire/messages.ts';
import { OLD_AFTER_S } from '../state/freshness.ts';
import { damage, freshness, hasReading, oddLines, sensorRangeA, source, status, zero } from '../state/live.ts';
import { withMinus } from '../../src/core/present/numbers.ts';

const texts = language.screens.setUp.loggerFacts;

const words = language.pages.logger;

/** Digits of a figure that a person compares, not computes with. */
const RATE_FIGURES = 4;
const SHORT_FIGURES = 2;

/** A ceramic resonator may be off by 0.5 %, the usual tolerance in its data sheets: a drift known to no better says nothing. */
const SAYS_NOTHING_PPM = 5000;

interface Fact {
  readonly name: string;
  readonly value: string;
}

/** What the logger says of itself and what is seen of it, as far as it is known. */
export function loggerFacts(logger: LoggerView | null): readonly Fact[] {
  const { facts } = words;
  const lines: Fact[] = [];
  const add = (name: string, value: string | null | undefined): void => {
    if (value != null) lines.push({ name, value });
  };
  add(facts.port, source.value?.port);
  // of a daemon that is silent nobody knows what its last ten seconds were
  const share = freshness.value.state === 'no-word' ? undefined : status.value?.share;
  const silenceS = lineSilenceS();
  add(facts.arriving, silenceS !== null ? words.noneFor(formatDuration(silenceS)) : share === undefined ? null : words.perSecond(significant(share.linesPerS, SHORT_FIGURES)));
  if (logger !== null) for (const fact of ofLogger(logger)) lines.push(fact);
  add(facts.damagedNow, share === undefined ? null : words.share(percentOf(share.damagedPart)));
  const counts = damage.value;
  if (counts !== null) {
    add(facts.damagedLines, inAll(counts.badCrc + counts.malformed + counts.tooLong));
    add(facts.lost, logger?.kind === 'logger' ? inAll(counts.lostBlocks) : null);
    add(facts.restarts, inAll(counts.restarts));
  }
  return lines;
}

function ofLogger(logger: LoggerView): Fact[] {
  const { facts } = words;
  const clock = status.value?.clock;
  const range = sensorRangeA.value;
  const isNumbers = logger.kind === 'numbers';
  const said: (readonly [string, string | null | undefined])[] = [
    [facts.kind, words.kinds[isNumbers ? 'numbers' : 'logger']],
    [facts.serial, logger.serial],
    [facts.firmware, logger.firmware],
    [facts.stated, logger.rateHz === null ? null : words.perSecond(formatCount(logger.rateHz))],
    [facts.measured, clock === undefined ? words.notYet : measuredRate(significant(clock.rateHz, RATE_FIGURES))],
    [facts.drift, clock === undefined || isNumbers ? null : clock.driftUncertaintyPpm > SAYS_NOTHING_PPM ? words.notYet : words.ppm(significant(clock.driftPpm, SHORT_FIGURES), significant(clock.driftUncertaintyPpm, SHORT_FIGURES))],
    [facts.range, range === null ? words.rangeUnknown : texts.range(withMinus(formatCurrent(range[0])), formatCurrent(range[1]))],
    [facts.zero, zero.value?.zeroA == null ? words.noZero : formatCurrent(zero.value.zeroA)],
  ];
  for (const { name, scale, unit } of logger.channels ?? []) if (scale !== 1) said.push([words.channel(name), words.count(`${significant(scale, RATE_FIGURES - 1)} ${unit}`)]);
  return said.flatMap(([name, value]) => (value == null ? [] : [{ name, value }]));
}

/** How long no line has come, whole s; null while lines or readings come, before the first, and where nobody knows. */
export function lineSilenceS(): number | null {
  const ageS = status.value?.lineAgeS ?? null;
  // lines of which none is a reading are shown as arriving a little longer: the page says one thing of them
  return hasReading.value || oddLines.value.length > 0 || freshness.value.state === 'no-word' || ageS === null || ageS <= OLD_AFTER_S ? null : Math.floor(ageS);
}

/** A rate is of the readings that came: when they have stopped, it is told until when. */
function measuredRate(rate: string): string {
  const { state, ageS } = freshness.value;
  return state === 'fresh' || ageS === null ? words.perSecond(rate) : words.perSecondUntil(rate, formatDuration(ageS));
}

/** A count that never falls says so, lest it be taken for one of now. */
function inAll(count: number): string {
  return count === 0 ? formatCount(count) : words.inAll(formatCount(count));
}

/** Small parts keep a figure: 0.3 % is not none. */
export function percentOf(part: number): string {
  return `${part === 0 ? '0' : significant(part * 100, part < 0.1 ? 1 : SHORT_FIGURES)} %`;
}
