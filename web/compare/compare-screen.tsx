import { useEffect } from 'preact/hooks';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf, route } from '../app/route.ts';
import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import { formatDate } from '../reading/format.ts';
import { KnownGoodScreen } from '../known-good/known-good-screen.tsx';
import { refreshStored, storedError, traces } from '../state/stored.ts';
import './compare.css';
import { ManyScreen } from './many-screen.tsx';
import { PairScreen } from './pair-screen.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.compareScreen;

const WAYS = [
  { path: '', name: words.beforeAndAfter },
  { path: 'many', name: words.sideBySide },
  { path: 'known-good', name: words.knownGood },
] as const;

/** Traces that each way needs; usual currents can be entered before there is any. */
const LEAST = { '': 2, many: 1, 'known-good': 0 } as const;

/** Traces against each other: two of one repair, several side by side, one against those known to be good. */
export function CompareScreen() {
  useEffect(() => void refreshStored(), []);
  const all = traces.value;
  const way = WAYS.find(({ path }) => path === (route.value.rest[0] ?? ''))?.path ?? '';
  return (
    <div class="page">
      <div class="page-head">
        <h1>{words.compare}</h1>
        <nav class="ways" aria-label={words.waysToCompare}>
          {WAYS.map(({ path, name }) => <a class="tool" key={path} href={path === '' ? hrefOf('compare') : hrefOf('compare', path)} aria-current={path === way ? 'page' : undefined}>{name}</a>)}
        </nav>
      </div>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length < LEAST[way] && <Empty only={all[0]?.record ?? null} />}
      {all !== null && all.length >= LEAST[way] && (way === '' ? <PairScreen traces={all} /> : way === 'many' ? <ManyScreen traces={all} /> : <KnownGoodScreen traces={all} />)}
    </div>
  );
}

/** `only`: the one trace there is; null where there is none. */
function Empty({ only }: { only: TraceRecord | null }) {
  const test = (text: string) => <a href={hrefOf('test')}>{text}</a>;
  const importing = (text: string) => <a href={hrefOf('traces')}>{text}</a>;
  return <div class="plate empty"><p>{only === null ? words.tracesAreNeeded(test, importing) : words.anotherIsNeeded(only.title || formatDate(only.start), test, importing)}</p></div>;
}
