import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { afterKey, beforeKey, findTrace, manyKeys, offerPair, proving, tolerance } from '../compare/choice.ts';
import { fetchReport, fetchReportJson, type ReportOrder } from '../compare/compare-api.ts';
import { TraceSelect } from '../compare/trace-select.tsx';
import { isAbort } from '../net/api.ts';
import { saveBlob } from '../net/download.ts';
import { activeJob, jobs, refreshStored, storedError, traces, wordsOf } from '../state/stored.ts';
import { HeadingCard } from './heading-card.tsx';
import { ReportSheet } from './report-sheet.tsx';
import './report.css';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.prove.reportScreen;

type Audience = ReportOrder['audience'];

const AUDIENCES: readonly { readonly value: Audience; readonly name: string; readonly hint: string }[] = [
  { value: 'customer', name: words.forTheCustomer, hint: words.twoSentencesOnePicture },
  { value: 'file', name: words.forTheFile, hint: words.everyFigureSensorHashes },
];

/** The page that proves the repair: seen, printed, saved. */
export function ReportScreen() {
  const audience = useSignal<Audience>('customer');
  // counts changes of the heading
  const heading = useSignal(0);
  useEffect(() => void refreshStored(), []);
  const all = traces.value;
  useEffect(() => {
    if (all !== null) offerPair(all, activeJob.value, true);
  }, [all, activeJob.value]);
  const many = proving.value === 'many' && (manyKeys.value ?? []).length > 0;
  const keys = [...new Set(many ? (manyKeys.value ?? []) : [beforeKey.value, afterKey.value])].filter((key) => key !== '' && all !== null && findTrace(all, key) !== undefined);
  const unwritten = jobs.value?.find(({ job }) => job.repair === null && keys.some((key) => key.startsWith(`${job.id}/`)));
  return (
    <div class="page prove">
      <div class="page-head"><h1>{words.prove}</h1></div>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length === 0 ? (
        <div class="plate empty"><p>{words.noTraceYet((text) => <a href={hrefOf('test')}>{text}</a>, (text) => <a href={hrefOf('traces')}>{text}</a>)}</p></div>
      ) : (
        <>
          <div class="plate form-row prove-choice choose-traces">
            {many ? (
              <>
                <p class="field">{words.chosenUnder(keys.length, (text) => <a href={hrefOf('compare', 'many')}>{text}</a>)}</p>
                <button type="button" class="tool" onClick={() => (proving.value = 'pair')}>{words.oneTraceOrBefore}</button>
              </>
            ) : (
              <>
                <TraceSelect name={words.traceOrTheOne} chosen={beforeKey} traces={all ?? []} jobs={jobs.value ?? []} none={words.none} />
                <TraceSelect name={words.afterTheRepair} chosen={afterKey} traces={all ?? []} jobs={jobs.value ?? []} none={words.none} />
              </>
            )}
          </div>
          <fieldset class="choice prove-choice">
            <legend class="unseen">{words.whoThePageIsFor}</legend>
            {AUDIENCES.map(({ value, name, hint }) => (
              <label class="plate choice-card" key={value}>
                <input type="radio" name="audience" value={value} checked={audience.value === value} onChange={() => (audience.value = value)} />
                <span><b>{name}</b><span>{hint}</span></span>
              </label>
            ))}
          </fieldset>
          {unwritten !== undefined && <p class="fine prove-choice">{words.noRepairWritten((text) => <a href={hrefOf('job', unwritten.job.id, 'repair')}>{text}</a>)}</p>}
          {audience.value === 'customer' && <HeadingCard changed={() => heading.value++} />}
          {all !== null && <Page keys={keys} audience={audience.value} tolerance={tolerance.value} heading={heading.value} />}
        </>
      )}
    </div>
  );
}

function Page({ keys, audience, tolerance: share, heading }: ReportOrder & { readonly heading: number }) {
  const page = useSignal('');
  const error = useSignal('');
  const working = useSignal(false);
  const wanted = keys.join(',');
  useEffect(() => {
    page.value = '';
    error.value = '';
    if (wanted === '') return undefined;
    const stopper = new AbortController();
    working.value = true;
    fetchReport({ keys: wanted.split(','), audience, tolerance: share }, stopper.signal)
      .then((html) => {
        page.value = html;
        working.value = false;
      })
      .catch((failure: unknown) => {
        if (isAbort(failure)) return;
        error.value = wordsOf(failure);
        working.value = false;
      });
    return () => stopper.abort();
  }, [wanted, audience, share, heading]);
  const saveJson = async (): Promise<void> => {
    try {
      saveBlob(new Blob([await fetchReportJson({ keys: wanted.split(','), audience, tolerance: share })], { type: 'application/json' }), fileName(wanted, audience, 'json'));
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  if (wanted === '') return <p class="fine">{words.chooseATrace}</p>;
  if (error.value !== '') return <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{error.value}</span></p>;
  if (working.value || page.value === '') return <section class="plate working" role="status"><p>{words.makingThePage}</p><progress aria-label={words.makingThePage} /></section>;
  return (
    <>
      <div class="tools prove-tools">
        <button type="button" class="button" onClick={() => print()}>{words.print}</button>
        <button type="button" class="button button-quiet" onClick={() => saveBlob(new Blob([page.value], { type: 'text/html' }), fileName(wanted, audience, 'html'))}>{words.saveAsAFile}</button>
        <button type="button" class="button button-quiet" onClick={() => void saveJson()}>{words.saveAsJson}</button>
        <span class="fine">{words.oneFileThatOpens}</span>
      </div>
      <ReportSheet page={page.value} />
    </>
  );
}

/** Ids are safe as file names; the newer trace names the page. */
function fileName(wanted: string, audience: Audience, ending: 'html' | 'json'): string {
  return `report-${audience}-${wanted.split('/').at(-1)!}.${ending}`;
}
