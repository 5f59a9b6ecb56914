import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { correctionOf, type CalibrationRecord } from '../../src/core/analysis/uncertainty/calibration.ts';
import { language } from '../../src/core/present/language.ts';
import type { LoggerCalibrations } from '../../src/core/wire/calibration.ts';
import { Allowed } from '../app/allowed.tsx';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { formatDate } from '../reading/format.ts';
import { NumberField, TextField } from '../set-up/fields.tsx';
import { source } from '../state/live.ts';
import { refreshStored, traces, wordsOf } from '../state/stored.ts';
import { Notices } from '../test/notices.tsx';
import { calibrationsOf, keep, takeBack } from './calls.ts';
import './calibrate.css';
import { calibrationOf, change, draft, nextDraft, type Missing } from './draft.ts';
import { correctionWords, KeptList } from './kept-list.tsx';
import { ScaleStep } from './scale-step.tsx';
import { SteadyPlate } from './steady-plate.tsx';
import { steady, useSteady } from './steady.ts';
import { TakeReading } from './take-reading.tsx';
import { TraceCalibration } from './trace-calibration.tsx';

const texts = language.screens.calibrate.calibrateScreen;

const DUE: readonly { days: number | null; name: string }[] = [
  { days: 90, name: texts.inThreeMonths }, { days: 180, name: texts.inHalfAYear }, { days: 365, name: texts.inAYear }, { days: 730, name: texts.inTwoYears }, { days: null, name: texts.noDate },
];

/** A logger compared with something known, step by step, and its traces corrected by it. */
export function CalibrateScreen() {
  useSteady();
  const logger = steady.value?.logger ?? null;
  const kept = useSignal<LoggerCalibrations | null>(null);
  const said = useSignal('');
  const error = useSignal('');
  useEffect(() => {
    if (logger === null) return;
    calibrationsOf(logger).then((found) => (kept.value = found), (failure: unknown) => (error.value = wordsOf(failure)));
    void refreshStored();
  }, [logger]);
  const work = async (what: Promise<LoggerCalibrations>, words: string): Promise<void> => {
    error.value = said.value = '';
    try {
      kept.value = await what;
      said.value = words;
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const made = calibrationOf(draft.value);
  const keepIt = async (): Promise<void> => {
    if (typeof made === 'string' || logger === null) return;
    await work(keep(logger, draft.value.name ?? kept.value?.name ?? '', made), texts.savedNewRecordingsOf);
    if (error.value === '') nextDraft();
  };
  return (
    <div class="page">
      <div class="page-head"><h1>{texts.calibrateTheLogger}</h1></div>
      <p class="lead">{texts.compareItWithSomething}</p>
      <Notices />
      {error.value !== '' && <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{error.value}</span></p>}
      <p role="status" class={said.value === '' ? 'hidden-status' : 'notice'}>{said.value}</p>
      <div class="two calibrate">
        <div class="stack">
          <section class="plate form" aria-label={texts.steps}>
            <ol class="check-list">
              <li><h2>{texts.stepLogger}</h2><WhichLogger name={kept.value?.name ?? ''} /></li>
              <li><h2>{texts.stepZero}</h2><ZeroStep /></li>
              <li><h2>{texts.stepScale}</h2><ScaleStep /></li>
              <li><h2>{texts.stepWho}</h2><WhoStep /></li>
              <li><h2>{texts.stepSave}</h2><Allowed to="change"><KeepStep made={made} ready={logger !== null} keepIt={() => void keepIt()} /></Allowed></li>
            </ol>
          </section>
        </div>
        <div class="stack">
          <SteadyPlate />
          <section class="plate" aria-label={texts.calibrationsOfThisLogger}>
            <h2>{texts.calibrationsOfThisLogger}</h2>
            <KeptList calibrations={kept.value?.calibrations ?? []} takeBack={({ channel, at }: CalibrationRecord) => logger !== null && void work(takeBack(logger, channel, at), texts.withdrawnTracesThatIt)} />
          </section>
          <OldTraces logger={logger} hasAny={(kept.value?.calibrations ?? []).some(({ taken_back: back }) => back === null)} />
        </div>
      </div>
    </div>
  );
}

function WhichLogger({ name }: { name: string }) {
  const now = steady.value;
  const plain = source.value?.logger?.kind === 'numbers';
  if (now?.logger == null) return <p>{texts.noLoggerIsConnected((text) => <a href={hrefOf('setup')}>{text}</a>)}</p>;
  return (
    <>
      <p>{(plain ? texts.knownByItsPort : texts.logger)(<b class="logger-name">{now.logger}</b>)}</p>
      {plain && <TextField name={texts.whatYouCallIt} value={draft.value.name ?? name} set={(next) => change({ name: next })} placeholder={texts.loggerExample} />}
      <fieldset class="ways ways-row" aria-label={texts.channel}>
        {(['current', 'voltage'] as const).map((channel) => (
          <label class="check" key={channel}>
            <input
              type="radio" name="channel" checked={draft.value.channel === channel} disabled={channel === 'voltage' && now.voltage === null && draft.value.channel !== 'voltage'}
              onChange={() => change({ channel, zeroBefore: null, zeroAfter: null, way: 'one', points: [{ applied: null, read: null }, { applied: null, read: null }] })}
            />
            <span class="check-words"><b>{channel === 'current' ? texts.current : texts.voltage}</b></span>
          </label>
        ))}
      </fieldset>
    </>
  );
}

function ZeroStep() {
  const { channel, zeroBefore, zeroAfter } = draft.value;
  return (
    <>
      <p>{channel === 'current' ? texts.clampClosedWithNo : texts.bothLeadsOnThe} {texts.waitUntilTheReading}</p>
      <TakeReading label={texts.useAsTheZero} taken={zeroBefore} set={(taken) => change({ zeroBefore: taken, ...(taken === null ? { zeroAfter: null } : {}) })} />
      {zeroBefore !== null && (
        <>
          <p class="fine">{texts.afterATestCome}</p>
          <TakeReading label={texts.useAsTheZeroAfter} taken={zeroAfter} set={(taken) => change({ zeroAfter: taken })} />
        </>
      )}
    </>
  );
}

function WhoStep() {
  const { by, temperatureC, dueDays } = draft.value;
  return (
    <div class="form-grid">
      <TextField name={texts.doneBy} value={by} set={(next) => change({ by: next })} />
      <NumberField name={texts.temperature} unit="°C" value={temperatureC} min={-60} max={90} set={(next) => change({ temperatureC: next })} />
      <label class="field">
        <span class="field-name">{texts.dueAgain}</span>
        <select value={String(dueDays)} onChange={(event) => change({ dueDays: event.currentTarget.value === 'null' ? null : Number(event.currentTarget.value) })}>
          {DUE.map(({ days, name }) => <option key={name} value={String(days)}>{name}</option>)}
        </select>
      </label>
    </div>
  );
}

const MISSING: Readonly<Record<Missing, string>> = {
  'zero': texts.openZero,
  'known-value': texts.openValue,
  'known-reading': texts.openReading,
  'tolerance': texts.openTolerance,
  'shunt': texts.openShunt,
  'part': texts.openSensor,
};

function KeepStep({ made, ready, keepIt }: { made: ReturnType<typeof calibrationOf>; ready: boolean; keepIt: () => void }) {
  if (typeof made === 'string') return <><p id="keep-why">{MISSING[made]}</p><button type="button" class="button" aria-disabled="true" aria-describedby="keep-why">{texts.saveThisCalibration}</button></>;
  const { due_days: _days, ...known } = made;
  const record: CalibrationRecord = { ...known, at: '', due: null, taken_back: null };
  const fault = correctionOf(record);
  const usable = typeof fault !== 'string' && ready;
  return (
    <>
      <p class="preview" data-preview>{typeof fault === 'string' ? language.calibration.refused(language.calibration.faults[fault]) : correctionWords(record)}</p>
      {typeof fault !== 'string' && <p class="fine">{texts.formula}</p>}
      <button type="button" class="button" aria-disabled={!usable} onClick={() => usable && keepIt()}>{texts.saveThisCalibration}</button>
    </>
  );
}

/** Traces of this logger, older ones too; those of a logger that does not say who it is as well, since a person may know. */
function OldTraces({ logger, hasAny }: { logger: string | null; hasAny: boolean }) {
  if (logger === null || traces.value === null) return null;
  const own = traces.value.filter(({ record }) => [record.logger.serial, record.logger.name, record.logger.source].includes(logger));
  return (
    <section class="plate" aria-label={texts.tracesOfThisLogger}>
      <h2>{texts.tracesOfThisLogger}</h2>
      {own.length === 0 && <p class="fine">{texts.noneRecordedYet}</p>}
      <ul class="kept">
        {own.map(({ jobId, record }) => (
          <li key={`${jobId}/${record.id}`}>
            <a href={hrefOf('trace', jobId, record.id)}>{record.title || texts.untitledTrace}, {formatDate(record.start)}</a>
            <TraceCalibration of={{ jobId, traceId: record.id }} record={record} logger={logger} canApply={hasAny} changed={() => void refreshStored()} />
          </li>
        ))}
      </ul>
    </section>
  );
}

