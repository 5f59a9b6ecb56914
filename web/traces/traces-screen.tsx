import { Allowed } from '../app/allowed.tsx';
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { formatCount, formatDuration, language } from '../../src/core/present/language.ts';
import { judgedWords } from '../../src/core/present/wording/finding-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { formatDate } from '../reading/format.ts';
import { jobs, refreshStored, storedError, traces } from '../state/stored.ts';
import { ImportFile } from './import-file.tsx';
import { matchTraces } from './match.ts';

const texts = language.screens.traces.tracesScreen;

/** Every trace on disk, newest first, found by any word of it or of its job. */
export function TracesScreen() {
  const words = useSignal('');
  useEffect(() => void refreshStored(), []);
  const all = traces.value;
  const found = all === null ? [] : matchTraces(all, jobs.value ?? [], words.value);
  return (
    <div class="page">
      <div class="page-head">
        <h1>{texts.traces}</h1>
        <Allowed to="change"><ImportFile /></Allowed>
      </div>
      <label class="field field-wide search">
        <span class="field-name">{texts.find}</span>
        <input type="search" placeholder={texts.vehicleComplaintFindingDate} value={words} onInput={(event) => (words.value = event.currentTarget.value)} />
      </label>
      <p class="fine" role="status">{all === null ? (storedError.value === '' ? texts.looking : '') : words.value === '' ? texts.inAll(all.length) : texts.of(found.length, all.length)}</p>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length === 0 && (
        <div class="plate empty"><p>{texts.noTraceYet((text) => <a href={hrefOf('test')}>{text}</a>)}</p></div>
      )}
      {all !== null && all.length > 0 && found.length === 0 && <div class="plate empty"><p>{texts.noTraceHasAll}</p></div>}
      <ul class="trace-list">
        {found.slice(0, 300).map((trace) => <TraceRow trace={trace} jobs={jobs.value ?? []} key={`${trace.jobId}/${trace.record.id}`} />)}
      </ul>
      {found.length > 300 && <p class="fine">{texts.newestListed}</p>}
    </div>
  );
}

export function TraceRow({ trace, jobs: known }: { trace: TraceView; jobs: readonly JobView[] }) {
  const { record, jobId, finding, basis } = trace;
  const job = known.find((one) => one.job.id === jobId)?.job;
  const words = finding === null ? null : judgedWords(finding, basis);
  return (
    <li>
      <a class="plate trace-row" href={hrefOf('trace', jobId, record.id)}>
        <span class="trace-finding">{words === null ? <><Glyph shape="open" />{texts.notRead}</> : <><Glyph shape={words.tone} />{words.title}</>}</span>
        <span class="trace-name"><b>{record.title || job?.vehicle || texts.untitled}</b><span>{job === undefined ? texts.noJob : [job.vehicle, job.complaint].filter(Boolean).join(': ')}</span></span>
        <span class="trace-when"><time dateTime={record.start}>{formatDate(record.start)}</time><span>{texts.readings(formatDuration(record.duration_s), formatCount(record.samples))}</span></span>
        {(record.simulated || record.end === 'running' || record.end === 'cut') && (
          <span class="trace-badges">
            {record.simulated && <span class="badge">{language.pages.strip.virtualTrace}</span>}
            {record.end === 'running' && <span class="badge">{texts.running}</span>}
            {record.end === 'cut' && <span class="badge">{texts.cutShort}</span>}
          </span>
        )}
      </a>
    </li>
  );
}
