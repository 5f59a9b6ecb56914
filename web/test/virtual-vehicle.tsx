import { Allowed } from '../app/allowed.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { hello, marks, recording, settings, source } from '../state/live.ts';
import { HoldButton } from './hold-button.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.test.virtualVehicle;

/** What can be worked from the page when the vehicle is the built-in one: its switch, its fuses, and which complaint it has. */
export function VirtualVehicle() {
  const logger = source.value?.logger;
  if (logger?.kind !== 'virtual' || logger.controls === null) return null;
  const { hasSwitch, fuses } = logger.controls;
  return (
    <section class="plate virtual" aria-label={words.virtualVehicle}><Allowed to="work">
      {hasSwitch && (
        <div class="field">
          <span class="field-name" aria-hidden="true">{words.switchOfTheVirtualVehicle}</span>
          <div class="hold-pair" role="group" aria-label={words.switchOfTheVirtualVehicle}>
            <HoldButton position="reverse">{words.holdReverse}</HoldButton>
            <HoldButton position="forward">{words.holdForward}</HoldButton>
          </div>
        </div>
      )}
      {fuses.length > 0 && (
        <div class="field">
          <span class="field-name" aria-hidden="true">{words.fusesOfTheVirtualVehicle}</span>
          <div class="chips" role="group" aria-label={words.fusesOfTheVirtualVehicle}>{fuses.map((label) => <FuseChip label={label} key={label} />)}</div>
          <span class="fine">{words.aTapPulls}</span>
        </div>
      )}
      <ScenarioChoice />
    </Allowed></section>
  );
}

const TESTS = ['actuation', 'drain'] as const;

export function ScenarioChoice() {
  const controls = source.value?.logger?.controls;
  const scenarios = hello.value?.scenarios ?? [];
  if (controls === undefined || controls === null || scenarios.length === 0) return null;
  return (
    <label class="field">
      <span class="field-name">{words.virtualVehicle}</span>
      <select
        value={controls.scenario} disabled={recording.value !== null}
        onChange={(event) => {
          const chosen = scenarios.find((one) => one.name === event.currentTarget.value);
          if (chosen === undefined) return;
          send({ type: 'source', do: 'choose', spec: `sim:${chosen.name}` });
          if (chosen.test !== settings.value?.test) changeSettings({ test: chosen.test });
        }}
      >
        {TESTS.map((test) => (
          <optgroup label={language.pages.importing.tests[test]} key={test}>
            {scenarios.filter((one) => one.test === test).map((one) => <option value={one.name} key={one.name}>{one.title}</option>)}
          </optgroup>
        ))}
      </select>
      {recording.value !== null && <span class="fine">{words.stopTheRecordingTo}</span>}
    </label>
  );
}

/** Pulling a virtual fuse is also marked, as a hand at a real fuse box would. */
function FuseChip({ label }: { label: string }) {
  const pulled = isPulled(label);
  return (
    <button type="button" class="chip" aria-pressed={pulled} onClick={() => workFuse(label, !pulled)}>
      {label} <span class="chip-state">{pulled ? words.pulled : words.fitted}</span>
    </button>
  );
}

export function isPulled(label: string): boolean {
  let pulled = false;
  for (const mark of marks.value) if (mark.label === label && (mark.kind === 'pull' || mark.kind === 'refit')) pulled = mark.kind === 'pull';
  return pulled;
}

/** Marks a fuse as pulled or put back, and works the virtual one when there is such a fuse. */
export function workFuse(label: string, pull: boolean): void {
  const controls = source.peek()?.logger?.controls;
  if (controls?.fuses.includes(label)) send({ type: 'source', do: 'fuse', label, fitted: !pull });
  send({ type: 'mark', kind: pull ? 'pull' : 'refit', label });
}
