import { useSignal } from '@preact/signals';
import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { judgedWords } from '../../src/core/present/wording/finding-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { formatDate } from '../reading/format.ts';
import { matchTraces } from '../traces/match.ts';
import { keyOf } from './choice.ts';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.compare.traceChecks;

interface Props {
  /** whose list it is, for the screen reader */
  readonly name: string;
  readonly traces: readonly TraceView[];
  readonly jobs: readonly JobView[];
  readonly chosen: readonly string[];
  readonly set: (chosen: readonly string[]) => void;
}

/** Rows shown at once; words find the others. */
const MOST_ROWS = 40;

/** Several traces out of the list, found by any word of a trace or its job. */
export function TraceChecks({ name, traces, jobs, chosen, set }: Props) {
  const words = useSignal('');
  const found = matchTraces(traces, jobs, words.value).filter(({ record }) => record.end !== 'running');
  // a row stays where it is when it is chosen; what is chosen and not in view is above
  const shown = found.slice(0, MOST_ROWS);
  const rows = [...traces.filter((trace) => chosen.includes(keyOf(trace)) && !shown.includes(trace)), ...shown];
  return (
    <fieldset class="checks-list" aria-label={name}>
      <label class="field">
        <span class="field-name">{texts.find}</span>
        <input type="search" placeholder={texts.vehicleComplaintFindingDate} value={words} onInput={(event) => (words.value = event.currentTarget.value)} />
      </label>
      <ul class="checks-rows" tabIndex={0} aria-label={texts.tracesToChooseFrom}>
        {rows.map((trace) => {
          const key = keyOf(trace);
          const job = jobs.find((one) => one.job.id === trace.jobId)?.job;
          const finding = trace.finding === null ? null : judgedWords(trace.finding, trace.basis);
          return (
            <li key={key}>
              <label class="check">
                <input type="checkbox" checked={chosen.includes(key)} onChange={(event) => set(event.currentTarget.checked ? [...chosen, key] : chosen.filter((one) => one !== key))} />
                <span class="check-words"><b>{trace.record.title || texts.untitled}</b><span class="fine">{[job?.vehicle, formatDate(trace.record.start)].filter(Boolean).join(', ')}</span></span>
                {finding !== null && <span class="check-finding"><Glyph shape={finding.tone} size={16} />{finding.title}</span>}
              </label>
            </li>
          );
        })}
      </ul>
      {found.length > MOST_ROWS && <p class="fine">{texts.moreAddAWord(found.length - MOST_ROWS)}</p>}
    </fieldset>
  );
}
