import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { differenceOf } from '../../src/core/analysis/compare/difference.ts';
import type { Line, Overlay } from '../../src/core/wire/prove.ts';
import { frameOf } from './frame.ts';
import { Plot, type DrawnLine } from './plot.tsx';
import { useWidth } from './use-width.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.overlayChart;

/** two fit beside each other on a phone */
const THUMB_PX = { width: 140, height: 90 };

/**
 * Every pair of actuations of one direction: one large, before and after on the same switch edge and below it what is left when one is
 * taken from the other; the rest as small multiples on the same axes, each a button that brings it up.
 */
export function OverlayChart({ overlays }: { overlays: readonly Overlay[] }) {
  const shown = useSignal(0);
  const { host, widthPx } = useWidth<HTMLElement>();
  const { direction, before, after, number } = overlays[shown.value] ?? overlays[0]!;
  const difference = useMemo(() => differenceOf(before, after), [before, after]);
  const frame = useMemo(() => frameOf(overlays.flatMap(({ before, after }) => [before, after])), [overlays]);
  const name = direction === 'forward' ? words.forward : words.reverse;
  return (
    <figure class="plate overlay" ref={host}>
      <figcaption><h2>{name}{overlays.length > 1 && <span class="count">{words.pairOf(number, overlays.length)}</span>}</h2><Key /></figcaption>
      <Plot widthPx={widthPx} {...frame} heightPx={230} label={words.currentBeforeAndAfter(name, number)} lines={linesOf(before, after)} withZero />
      <p class="fine">{words.differenceAfterLessBeforeA}</p>
      <Plot widthPx={widthPx} startS={frame.startS} endS={frame.endS} heightPx={130} label={words.afterLessBefore(name, number)} lines={[{ ink: 'difference', line: difference }]} />
      {overlays.length > 1 && (
        <div class="multiples" role="group" aria-label={words.allPairs(direction)}>
          {overlays.map((overlay, i) => (
            <button type="button" class="multiple" key={overlay.number} aria-pressed={i === shown.value} onClick={() => (shown.value = i)}>
              <span>{words.pair(overlay.number)}</span>
              <Plot widthPx={THUMB_PX.width} heightPx={THUMB_PX.height} {...frame} label={words.pair(overlay.number)} lines={linesOf(overlay.before, overlay.after)} withZero small />
            </button>
          ))}
        </div>
      )}
      <p class="fine">{words.pairedByOrderThe(direction)}</p>
    </figure>
  );
}

function linesOf(before: Line, after: Line): DrawnLine[] {
  return [{ ink: 'before', line: before }, { ink: 'after', line: after }];
}

export function Key() {
  return (
    <span class="overlay-key">
      <span><svg width="34" height="8" aria-hidden="true"><line class="ink-before" x1="1" x2="33" y1="4" y2="4" /></svg>{words.before}</span>
      <span><svg width="34" height="8" aria-hidden="true"><line class="ink-after" x1="1" x2="33" y1="4" y2="4" /></svg>{words.after}</span>
    </span>
  );
}
