import { language } from '../../src/core/present/language.ts';
import { send } from '../state/actions.ts';
import { askJob, link, mayWork, settings } from '../state/live.ts';
import { Glyph } from './glyph.tsx';
import { hrefOf } from './route.ts';
import { jobName } from './status-strip.tsx';

const words = language.together.job;

/** After a restart the job of before is only a guess: recordings wait until somebody has said that it still is the one. */
export function JobQuestion() {
  const jobId = settings.value?.jobId ?? null;
  if (!askJob.value || jobId === null || link.value.state !== 'open') return null;
  return (
    <section class="band band-ask" aria-label={words.name} role="alert">
      <p><Glyph shape="open" /><span><b>{words.question(jobName(jobId))}</b> {words.why}</span></p>
      {mayWork.value && (
        <>
          <button type="button" class="tool" onClick={() => send({ type: 'job', jobId })}>{words.yes}</button>
          <button type="button" class="tool" onClick={() => send({ type: 'job', jobId: null })}>{words.none}</button>
          <a class="tool" href={hrefOf('job')}>{words.another}</a>
        </>
      )}
    </section>
  );
}
