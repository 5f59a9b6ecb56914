import { Allowed } from '../app/allowed.tsx';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { CAUTION_SOURCES, cautionsFor } from '../../src/core/reference/cautions.ts';
import type { HelpTopic } from '../../src/core/present/texts/help-texts.ts';
import { Help } from '../help/help.tsx';
import { BigFigures } from '../test/figures.tsx';
import { OddLines } from '../test/odd-lines.tsx';
import { Notices } from '../test/notices.tsx';
import { changeSettings } from '../state/actions.ts';
import { startRecording } from '../test/record-plate.tsx';
import { hasReading, isDrain, recording, settings } from '../state/live.ts';
import { ActuationOptionsForm } from './actuation-options.tsx';
import { DrainOptionsForm } from './drain-options.tsx';
import { LoggerCard } from './logger-card.tsx';
import { SensorCheck } from './sensor-check.tsx';
import { SourceCard } from './source-card.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.setUp.setupScreen;

const TESTS: readonly { test: TestKind; name: string; text: string }[] = [
  { test: 'actuation', name: words.motorOrMechanism, text: words.itHardlyMovesStops },
  { test: 'drain', name: words.keyOffDrain, text: words.theBatteryIsFlat },
];

/** Before anything is switched: the test, its cautions, the sensor checked, what is known of the circuit. */
export function SetupScreen() {
  const now = settings.value;
  const ready = hasReading.value;
  return (
    <div class="page">
      <div class="page-head"><h1>{words.setUp}</h1></div>
      <Notices />
      <Allowed to="work"><OddLines /></Allowed>
      {now !== null && (
        <>
          <Allowed to="work"><fieldset class="choice" aria-label={words.whichTest}>
            {TESTS.map(({ test, name, text }) => (
              <label class="plate choice-card" key={test}>
                <input type="radio" name="test" checked={now.test === test} onChange={() => changeSettings({ test })} />
                <span><b>{name}</b><span>{text}</span></span>
              </label>
            ))}
          </fieldset></Allowed>
          <div class="two">
            <div class="stack">
              <Cautions test={now.test} />
              <Allowed to="work">{now.test === 'actuation' ? <ActuationOptionsForm options={now.actuation} /> : <DrainOptionsForm options={now.drain} />}</Allowed>
              {now.test === 'drain' && <ToTheSurvey jobId={now.jobId} />}
            </div>
            <div class="stack">
              <BigFigures />
              <Allowed to="work"><SensorCheck /><SourceCard /></Allowed>
              <LoggerCard />
              <section class="plate start" aria-label={words.start}>
                {ready ? <a class="button" href={hrefOf('test')} onClick={recordTheNight}>{words.startTheTest}</a> : <button type="button" class="button" aria-disabled="true" aria-describedby="start-why">{words.startTheTest}</button>}
                <p id="start-why" class="fine" role="status">{ready ? now.test === 'drain' ? words.theReadingIsLive : words.live : words.noLiveReadingYet}</p>
              </section>
            </div>
          </div>
        </>
      )}
    </div>
  );
}

/** A key-off test is recorded from its first moment: the way to sleep is part of it. */
function recordTheNight(): void {
  if (isDrain.peek() && recording.peek() === null) startRecording();
}

/** The other way to find the circuit: millivolts across fuses that stay in, kept with the job. */
function ToTheSurvey({ jobId }: { jobId: string | null }) {
  return (
    <section class="plate form" aria-label={words.withoutPullingAFuse}>
      <h2>{words.withoutPullingMillivoltsAcross}</h2>
      <p class="fine">{words.touchBothTestPoints}</p>
      {jobId === null ? <p>{words.surveyNeedsAJob((text) => <a href={hrefOf('job')}>{text}</a>)}</p> : <p><a class="button button-quiet" href={hrefOf('job', jobId, 'fuses')}>{words.fuseSurveyOfThisJob}</a></p>}
    </section>
  );
}

const HELP: Readonly<Record<TestKind, readonly HelpTopic[]>> = { actuation: ['clamp', 'one-wire', 'voltage-lead'], drain: ['battery-cable', 'one-wire', 'bypass', 'sleep'] };

function Cautions({ test }: { test: TestKind }) {
  return (
    <section class="plate cautions" aria-label={words.cautions}>
      <h2><Glyph shape="fault" size={20} />{words.beforeYouConnect}</h2>
      <p><strong>{language.cautions.comesFirst}</strong></p>
      <ul>{cautionsFor(test).map((caution) => <li key={caution} title={CAUTION_SOURCES[caution]}>{language.cautions.each[caution]}</li>)}</ul>
      <Help topics={HELP[test]} />
    </section>
  );
}
