import type { Actuation, ActuationResult, Run, VerdictBasis } from '../../src/core/analysis/results.ts';
import { Glyph } from '../app/glyph.tsx';
import { commutationWords, fitWords, fuseWords, peakWords, runWords, stallWords, travelWords, wireWords, type FigureText } from '../../src/core/present/wording/actuation-words.ts';
import { ohms, type FigureParts } from '../../src/core/present/wording/figures.ts';
import type { UncertaintyPart } from '../../src/core/analysis/uncertainty/parts.ts';
import { formatMoment } from './format.ts';
import { UncertaintyParts } from './uncertainty-parts.tsx';
import { pressWords } from '../../src/core/present/wording/finding-words.ts';
import { FigureTable } from '../app/figure-table.tsx';
import { formatCurrent, formatDuration, language, significant } from '../../src/core/present/language.ts';

const texts = language.screens.reading.actuationList;

interface ListProps {
  readonly result: ActuationResult;
  readonly offsetS: number;
  readonly show: (fromS: number, toS: number) => void;
  /** whether its readings are of now */
  readonly live?: boolean;
}

const LISTED = 6;

/** The last actuations, newest first: short, for the side of the live chart. */
export function ActuationList({ result, offsetS, show, live = false }: ListProps) {
  const all = result.actuations;
  if (all.length === 0) return null;
  const listed = all.map((one, index) => ({ one, number: index + 1 })).slice(-LISTED).reverse();
  return (
    <section class="plate list" aria-label={texts.actuations}>
      <h2>{texts.actuations} <span class="count">{all.length}</span></h2>
      <ol class="rows">
        {listed.map(({ one, number }) => (
          <li key={one.start_s}>
            <button type="button" class="row" onClick={() => showActuation(one, offsetS, show)}>
              <span class="row-number">{number}</span>
              <span class="row-words"><b><PressFinding one={one} basis={result.verdict.basis} goesOn={live && number === all.length} /></b> <span>{language.names.ways[one.direction]}, {formatDuration(one.end_s - one.start_s)}</span></span>
              <span class="row-figure">{mainFigure(one)}</span>
            </button>
          </li>
        ))}
      </ol>
      {all.length > LISTED && <p class="fine">{texts.theNewestOf(LISTED, all.length)}</p>}
    </section>
  );
}

/** Every actuation with all its figures. */
export function ActuationTable({ result, offsetS, show }: ListProps) {
  if (result.actuations.length === 0) return null;
  const columns = WORKED_OUT.filter(({ words }) => result.actuations.some((one) => words(one) !== null));
  return (
    <FigureTable name={texts.tableOfActuations} heads={[texts.no, texts.finding, texts.direction, texts.start, texts.length, texts.inrushPeak, texts.running, texts.stallCurrent, texts.ripple, texts.feed, ...columns.map(({ head }) => head)]}>
      <tbody>
        {result.actuations.map((one, index) => (
          <tr key={one.start_s}>
            <th scope="row"><button type="button" class="link" onClick={() => showActuation(one, offsetS, show)} aria-label={texts.showActuationOnTheChart(index + 1)}>{index + 1}</button></th>
            <td class="tight"><PressFinding one={one} basis={result.verdict.basis} /></td>
            <td>{language.names.ways[one.direction]}</td>
            <td class="tight">{formatMoment(one.start_s, 19)}</td>
            <td class="tight">{formatDuration(one.end_s - one.start_s)}</td>
            <td>{one.inrush === null ? '–' : figureText(peakWords(one.inrush))}{one.inrush !== null && partsIn(texts.inrushPeakOf(index + 1), 'A', one.inrush.uncertainty, peakWords(one.inrush).figure)}</td>
            <td>{one.run === null ? '–' : running(one.run, texts.runningCurrent(index + 1))}</td>
            <td>{one.stalls.length === 0 ? '–' : one.stalls.map((stall) => <div key={stall.start_s}>{figureText(stallWords(stall))}{partsIn(texts.stallCurrentOf(index + 1), 'A', stall.uncertainty, stallWords(stall).figure)}</div>)}</td>
            <td>{one.ripple === null ? '–' : parts(`${significant(one.ripple.frequency_hz, 3)} Hz`, one.ripple.revolutions_per_s === null ? '' : texts.rpm(significant(one.ripple.revolutions_per_s * 60, 3)))}</td>
            <td>{one.supply === null ? '–' : parts(`${significant(one.supply.run_v, 3)} V`, ohms(one.supply.source_ohm))}{one.supply !== null && partsIn(texts.feedOf(index + 1), 'ohm', one.supply.uncertainty, ohms(one.supply.source_ohm))}</td>
            {columns.map(({ head, words }) => <td class="worked-out" key={head}>{worked(words(one))}</td>)}
          </tr>
        ))}
      </tbody>
    </FigureTable>
  );
}

/** What a press shows. */
function PressFinding({ one, basis, goesOn = false }: { one: Actuation; basis: VerdictBasis; goesOn?: boolean }) {
  const { tone, title } = pressWords(one, goesOn, basis);
  return <><Glyph shape={tone} size={14} /> {title}</>;
}

/** The running current; its bounds open to what they are made of. */
function running(run: Run, of: string) {
  const { figure, beside } = runWords(run);
  const list = run.uncertainty ?? [];
  if (beside === '' || list.length === 0) return <>{parts(figure, beside)}{partsIn(of, 'A', list, figure)}</>;
  return <><span class="tight">{figure}</span> <UncertaintyParts of={of} from={{ unit: 'A', parts: list }} figure={figure} bounds={beside} /></>;
}

/** A figure and what is beside it: each stays whole, the line may break between them. */
function parts(figure: string, beside: string) {
  return <><span class="tight">{figure}</span>{beside !== '' && <> <span class="tight beside">{beside}</span></>}</>;
}

function figureText(words: FigureText | null) {
  return words === null ? <>–</> : parts(words.figure, words.beside);
}

function partsIn(of: string, unit: FigureParts['unit'], list: readonly UncertaintyPart[] | undefined, figure: string) {
  return list === undefined || list.length === 0 ? null : <UncertaintyParts of={of} from={{ unit, parts: list }} figure={figure} />;
}

/** The same, but what is beside the figure may break. */
function worked(words: FigureText | null) {
  return words === null ? <>–</> : <><span class="tight">{words.figure}</span> <span class="beside">{words.beside}</span></>;
}

/** Worked out from the figures before; a column appears where any actuation has something in it. */
const WORKED_OUT: readonly { readonly head: string; readonly words: (one: Actuation) => FigureText | null }[] = [
  { head: texts.byTheSwitchOn, words: ({ inrush }) => fitWords(inrush) },
  { head: texts.turned, words: travelWords },
  { head: texts.fuse, words: fuseWords },
  { head: texts.wire, words: wireWords },
  { head: texts.commutator, words: commutationWords },
];

function mainFigure(one: Actuation): string {
  const stall = one.stalls.reduce((most, next) => Math.max(most, next.level_a), 0);
  const least = one.stalls.some((each) => each.at_least === true && each.level_a === stall);
  if (stall > 0) return `${least ? texts.atLeast : ''}${formatCurrent(stall)}`;
  if (one.run !== null) return runWords(one.run).figure;
  return one.inrush === null ? '' : peakWords(one.inrush).figure;
}

function showActuation(one: Actuation, offsetS: number, show: ListProps['show']): void {
  const span = one.end_s - one.start_s;
  show(one.start_s + offsetS - 0.15 * span, one.end_s + offsetS + 0.15 * span);
}
