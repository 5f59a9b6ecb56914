import { Glyph } from './glyph.tsx';
import { hrefOf, route, STEPS } from './route.ts';
import { ControlsLine } from './controls-line.tsx';
import { JobQuestion } from './job-question.tsx';
import { StatusStrip } from './status-strip.tsx';
import { link, recording, source } from '../state/live.ts';
import { isDark, theme } from '../state/preferences.ts';
import { activeJob } from '../state/stored.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.shell;

/** The frame of every screen: where one is on the way from complaint to proof, what is connected, light or dark. */
export function Shell({ children }: { children: preact.ComponentChildren }) {
  const { screen } = route.value;
  return (
    <>
      <a class="skip" href="#main" onClick={(event) => {
        event.preventDefault();
        document.getElementById('main')?.focus();
      }}>{words.skipToTheScreen}</a>
      <header class="top">
        <a class="mark-name" href={hrefOf('test')} aria-label={words.amptrailToTheTest}>
          <svg viewBox="0 0 40 22" aria-hidden="true"><path d="M1 18 H8 L11 2 L14 12 H27 L29.5 6 H39" fill="none" stroke="currentColor" stroke-width="2.6" stroke-linejoin="round" stroke-linecap="round" /></svg>
          <span>{words.amptrail}</span>
        </a>
        <nav class="steps" aria-label={words.stepsOfTheJob}>
          <ol>
            {STEPS.map((step) => (
              <li key={step.path}>
                <a href={step.path === 'job' && activeJob.value !== null ? hrefOf('job', activeJob.value.id) : hrefOf(step.path)} aria-current={step.path === screen || (step.path === 'read' && screen === 'trace') ? 'step' : undefined} title={step.hint}>
                  <span class="step-dot" aria-hidden="true">{step.path === 'test' && recording.value !== null && <span class="step-live" />}</span>{step.name}
                </a>
              </li>
            ))}
          </ol>
        </nav>
        <div class="top-end">
          <a class="top-link" href={hrefOf('traces')} aria-current={screen === 'traces' ? 'page' : undefined}>{words.traces}</a>
          <button type="button" class="tool tool-square" aria-label={isDark() ? words.changeToLight : words.changeToDark} title={isDark() ? words.light : words.dark} onClick={() => (theme.value = isDark() ? 'light' : 'dark')}>
            <Glyph shape={isDark() ? 'sun' : 'asleep'} />
          </button>
        </div>
      </header>
      <StatusStrip />
      <JobQuestion />
      <ControlsLine />
      {children}
      <footer class="foot"><SourceLine /><a class="top-link" href={hrefOf('tablets')} aria-current={screen === 'tablets' ? 'page' : undefined}>{words.tablets}</a></footer>
    </>
  );
}

/** What the readings come from, in one line. */
function SourceLine() {
  const now = source.value;
  if (link.value.state !== 'open') return <p>{words.notConnected}</p>;
  if (now === null) return <p>{words.waitingForTheLogger}</p>;
  const { logger } = now;
  if (logger === null) return <p>{words.noLogger(now.text)}</p>;
  const what = logger.kind === 'virtual' ? words.virtualVehicle(logger.controls === null ? '' : `: ${logger.controls.title}`) : logger.kind === 'replay' ? `Replay: ${logger.name}` : logger.kind === 'numbers' ? now.text : logger.name;
  const rate = logger.rateHz === null ? '' : words.readingsASecond(logger.rateHz);
  return <p>{what}{logger.serial === null ? '' : `, ${logger.serial}`}{rate}</p>;
}
