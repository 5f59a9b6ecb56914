import { useMemo } from 'preact/hooks';
import { useSignal } from '@preact/signals';
import type { Direction } from '../../src/core/analysis/results.ts';
import type { ActuationLine, ManyAnswer } from '../../src/core/wire/prove.ts';
import { judgedTitle, likeWords } from '../../src/core/present/wording/many-words.ts';
import { frameOf } from './frame.ts';
import { Plot, type DrawnLine } from './plot.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.multiples;

const PLOT_PX = { width: 250, height: 130 };
/** Shown at once; the rest on demand. */
const FIRST = 12;

/** Every actuation as a small plot on the same axes as the others of its direction, the one that stands out most first. */
export function Multiples({ answer: { result, lines } }: { answer: ManyAnswer }) {
  if (lines.length === 0) return null;
  return <>{(['forward', 'reverse'] as const).map((direction) => <Direct key={direction} direction={direction} result={result} lines={lines.filter((line) => line.direction === direction)} />)}</>;
}

function Direct({ direction, result, lines }: { direction: Direction; result: ManyAnswer['result']; lines: readonly ActuationLine[] }) {
  const all = useSignal(false);
  const frame = useMemo(() => frameOf(lines), [lines]);
  if (lines.length === 0) return null;
  // they come in the order in which they stand out: the last one is the most usual
  const usual = lines[lines.length - 1]!;
  const ofThisWay = result.actuations.filter((one) => one.direction === direction);
  const shown = all.value ? lines : lines.slice(0, FIRST);
  return (
    <section class="plate">
      <h2>{direction === 'forward' ? words.forward : words.reverse}<span class="count">{lines.length}</span></h2>
      <p class="fine">{words.secondsFromTheMoment}</p>
      <ul class="multiples">
        {shown.map((line) => {
          const one = result.actuations.find((item) => item.trace === line.trace && item.direction === direction && item.number === line.number)!;
          const name = result.traces.find(({ trace }) => trace === line.trace)?.name ?? '';
          const lineSet: DrawnLine[] = line === usual ? [{ ink: 'after', line }] : [{ ink: 'usual', line: usual }, { ink: 'after', line }];
          return (
            <li class={`multiple ${one.outlier ? 'is-odd' : ''}`} key={`${line.trace} ${line.number}`}>
              <span><b>{name}</b> <span class="fine">{words.numbered(line.number, judgedTitle(one).toLowerCase())}</span></span>
              <Plot widthPx={PLOT_PX.width} heightPx={PLOT_PX.height} {...frame} label={`${name}, ${language.names.ways[direction]} ${line.number}`} lines={lineSet} withZero small />
              <span class="multiple-why">{one.because === '' ? likeWords(one, ofThisWay) : one.because}</span>
            </li>
          );
        })}
      </ul>
      {lines.length > FIRST && <button type="button" class="tool" onClick={() => (all.value = !all.value)}>{all.value ? words.showFewer : words.showAll(lines.length)}</button>}
    </section>
  );
}
