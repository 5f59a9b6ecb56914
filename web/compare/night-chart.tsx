import type { Nights } from '../../src/core/wire/prove.ts';
import { Key } from './overlay-chart.tsx';
import { Plot } from './plot.tsx';
import { useWidth } from './use-width.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';

const words = language.screens.compare.nightChart;

/** Two nights from the start of each recording, cut off above what matters: the levels asleep and the limit. */
export function NightChart({ nights: { before, after, limitA, cutA } }: { nights: Nights }) {
  const { host, widthPx } = useWidth<HTMLElement>();
  const endS = Math.max(before.timeS[before.timeS.length - 1] ?? 1, after.timeS[after.timeS.length - 1] ?? 1);
  return (
    <figure class="plate overlay" ref={host}>
      <figcaption><h2>{words.bothNights}</h2><Key /></figcaption>
      <Plot
        widthPx={widthPx} heightPx={230} startS={0} endS={endS} cutA={cutA} limitA={limitA} withZero label={words.currentOfBothNights}
        lines={[{ ink: 'before', line: before }, { ink: 'after', line: after }]}
      />
      <p class="fine">{words.fromTheStartOf(formatCurrent(limitA))}</p>
    </figure>
  );
}
