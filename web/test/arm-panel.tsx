import { useSignal } from '@preact/signals';
import type { ArmSettings } from '../../src/core/wire/messages.ts';
import { formatBytes, formatDate } from '../reading/format.ts';
import { NumberField } from '../set-up/fields.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { armed, hasReading, isDrain, recording, recordingText, settings } from '../state/live.ts';
import { formatCurrent, formatDuration, language } from '../../src/core/present/language.ts';

const words = language.screens.test.armPanel;

type StartKind = ArmSettings['startOn']['kind'];

const START_NAMES: Readonly<Record<StartKind, string>> = {
  now: words.atOnce, level: words.whenTheCurrentPasses, slope: words.whenTheCurrentChangesSteeply, mark: words.atAMark, time: words.atATimeOfDay,
};

/** Start and stop without a hand: on a level, a slope, a mark or a time; after a time, a size, or when the vehicle sleeps. */
export function ArmPanel() {
  const kind = useSignal<StartKind>('level');
  const levelA = useSignal<number | null>(1);
  const slope = useSignal<number | null>(100);
  const time = useSignal('06:00');
  const beforeS = useSignal<number | null>(5);
  const stopMin = useSignal<number | null>(null);
  const stopMB = useSignal<number | null>(null);
  const asleep = useSignal(false);
  const evenIfPassed = useSignal(false);
  const waiting = armed.value;

  const arm = (): void => {
    const startOn = startOf(kind.value, { levelA: levelA.value, evenIfPassed: evenIfPassed.value, slope: slope.value, time: time.value });
    if (startOn === null) return;
    send({
      type: 'arm',
      arm: {
        startOn, beforeS: beforeS.value ?? 0,
        stopAfterS: stopMin.value === null ? null : stopMin.value * 60,
        stopAfterBytes: stopMB.value === null ? null : Math.round(stopMB.value * 1e6),
        stopWhenAsleep: asleep.value,
      },
    });
  };

  return (
    <details class="plate arm">
      <summary>{words.startAndStopByItself}{waiting !== null && <span class="badge">{words.armed}</span>}</summary>
      <div class="stack">
        <div class="form-grid"><ThinField /></div>
        {waiting !== null ? (
          <div class="arm-waiting">
            <p>{armedWords(waiting)}</p>
            {recordingText.value.startsWith('Armed') && <p class="fine" role="status">{recordingText.value}</p>}
            <button type="button" class="button button-quiet" onClick={() => send({ type: 'arm', arm: null })}>{words.disarm}</button>
          </div>
        ) : (
          <form
            class="form-grid"
            onSubmit={(event) => {
              event.preventDefault();
              arm();
            }}
          >
            <label class="field">
              <span class="field-name">{words.startRecording}</span>
              <select value={kind} onChange={(event) => (kind.value = event.currentTarget.value as StartKind)}>
                {(Object.keys(START_NAMES) as StartKind[]).map((one) => <option value={one} key={one}>{START_NAMES[one]}</option>)}
              </select>
            </label>
            {kind.value === 'level' && <NumberField name={words.level} unit="A" value={levelA.value} set={(value) => (levelA.value = value)} min={0.0001} required />}
            {kind.value === 'level' && (
              <label class="check"><input type="checkbox" checked={evenIfPassed} onChange={(event) => (evenIfPassed.value = event.currentTarget.checked)} />{words.atOnceIfIt}</label>
            )}
            {kind.value === 'slope' && <NumberField name={words.slope} unit="A/s" value={slope.value} set={(value) => (slope.value = value)} min={0.001} required />}
            {kind.value === 'time' && (
              <label class="field"><span class="field-name">{words.timeOfDay}</span><input type="time" required value={time} onInput={(event) => (time.value = event.currentTarget.value)} /></label>
            )}
            <NumberField name={words.keepFromBefore} unit="s" value={beforeS.value} set={(value) => (beforeS.value = value)} min={0} max={600} required />
            <NumberField name={words.stopAfter} unit="min" value={stopMin.value} set={(value) => (stopMin.value = value)} min={0.1} placeholder={words.noEnd} />
            <NumberField name={words.stopAt} unit="MB" value={stopMB.value} set={(value) => (stopMB.value = value)} min={0.1} placeholder={words.noLimit} />
            {isDrain.value && (
              <label class="check"><input type="checkbox" checked={asleep} onChange={(event) => (asleep.value = event.currentTarget.checked)} />{words.stopOnceItSleeps}</label>
            )}
            <div class="form-end">
              <button type="submit" class="button button-quiet" aria-disabled={!hasReading.value || recording.value !== null} disabled={!hasReading.value || recording.value !== null}>{words.arm}</button>
              {recording.value !== null ? <span class="fine">{words.stopToArm}</span> : !hasReading.value && <span class="fine">{words.noLiveReadingYet}</span>}
            </div>
          </form>
        )}
      </div>
    </details>
  );
}

/** Full rate, or only around changes: for nights and weekends. */
function ThinField() {
  const now = settings.value;
  if (now === null) return null;
  return (
    <NumberField
      name={words.fullRateOnlyAround} unit="A" value={now.thinA ?? null} min={0.000001} max={100000} placeholder={words.everySample}
      set={(thinA) => changeSettings({ thinA })} help={words.forLongRecordingsMore}
    />
  );
}

interface StartFields {
  readonly levelA: number | null;
  readonly evenIfPassed: boolean;
  readonly slope: number | null;
  readonly time: string;
}

function startOf(kind: StartKind, { levelA, evenIfPassed, slope, time }: StartFields): ArmSettings['startOn'] | null {
  switch (kind) {
    case 'level':
      return levelA === null ? null : { kind, levelA, ...(evenIfPassed ? { evenIfPassed } : {}) };
    case 'slope':
      return slope === null ? null : { kind, slopeAPerS: slope };
    case 'time':
      return { kind, at: nextTimeOfDay(time, new Date()).toISOString() };
    default:
      return { kind };
  }
}

/** The next moment the clock on the wall shows `HH:MM`. */
export function nextTimeOfDay(time: string, now: Date): Date {
  const [hours = 0, minutes = 0] = time.split(':').map(Number);
  const at = new Date(now);
  at.setHours(hours, minutes, 0, 0);
  if (at <= now) at.setDate(at.getDate() + 1);
  return at;
}

function armedWords({ startOn, beforeS, stopAfterS, stopAfterBytes, stopWhenAsleep }: ArmSettings): string {
  const start =
    startOn.kind === 'level' ? words.whenTheCurrentPassesOf(formatCurrent(startOn.levelA))
    : startOn.kind === 'slope' ? words.whenTheCurrentChanges(startOn.slopeAPerS)
    : startOn.kind === 'time' ? words.at(formatDate(startOn.at))
    : START_NAMES[startOn.kind];
  const ends = [
    stopAfterS !== null && words.after(formatDuration(stopAfterS)),
    stopAfterBytes !== null && words.atOf(formatBytes(stopAfterBytes)),
    stopWhenAsleep && words.onceItSleeps,
  ].filter(Boolean);
  return words.startsWithTheBefore(start, formatDuration(beforeS), ends.length === 0 ? '' : words.stops(ends.join(' or ')));
}
