import { NORMAL_95 } from '../../src/core/analysis/uncertainty/normal-95.ts';
import { halfWidthOf } from '../../src/core/analysis/uncertainty/parts.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';
import { ohms, plusMinus, type FigureParts } from '../../src/core/present/wording/figures.ts';

const words = language.screens.reading.uncertaintyParts;

/** of the largest part: a smaller one adds nothing that shows */
const SHOWN_SHARE = 0.01;

/** Where the uncertainty beside a figure comes from, one touch away: each source by itself as a half-width of 95 %. `bounds`: as they are beside the figure already; `figure`: the figure itself, as it is written. */
export function UncertaintyParts({ of, from: { unit, parts }, figure, bounds = '' }: { of: string; from: FigureParts; figure: string; bounds?: string }) {
  const size = (value: number): string => (unit === 'A' ? formatCurrent(value) : ohms(value));
  const shown = bounds === '' ? plusMinus(figure, halfWidthOf(parts), unit) : bounds;
  return (
    <details class="uncertainty">
      <summary aria-label={words.whereItComesFrom(shown, of)}>{shown}</summary>
      <ul>
        {parts.filter(({ contribution }) => contribution > SHOWN_SHARE * parts[0]!.contribution).map(({ source, contribution }) => <li key={source}><span>{language.calibration.sources[source]}</span> <b>± {size(NORMAL_95 * contribution)}</b></li>)}
      </ul>
      <p class="fine">{words.eachPartByItself}</p>
    </details>
  );
}
