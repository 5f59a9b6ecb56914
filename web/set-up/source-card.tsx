import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';
import { ScenarioChoice } from '../test/virtual-vehicle.tsx';
import { send } from '../state/actions.ts';
import { hello, recording, source } from '../state/live.ts';
import { PortList } from './port-list.tsx';

const texts = language.screens.setUp.sourceCard;

const words = language.pages.ports;

/** Where the readings come from, and how to choose another source. */
export function SourceCard() {
  const now = source.value;
  const busy = recording.value !== null;
  const scenarios = hello.value?.scenarios ?? [];
  return (
    <section class="plate logger-card" id="choice-of-logger" aria-label={texts.logger}>
      <h2>{texts.logger}</h2>
      <p role="status">{now === null ? texts.waitingForTheLogger : now.logger === null ? texts.noneYet(now.text) : now.logger.kind === 'virtual' || now.logger.kind === 'numbers' ? now.text : `${now.logger.name}. ${now.text}`}</p>
      <ScenarioChoice />
      <div class="form-end">
        <button type="button" class="button button-quiet" disabled={busy} onClick={() => send({ type: 'source', do: 'choose', spec: 'auto' })}>{texts.findALogger}</button>
        {now?.logger?.kind !== 'virtual' && scenarios.length > 0 && (
          <button type="button" class="button button-quiet" disabled={busy} onClick={() => send({ type: 'source', do: 'choose', spec: `sim:${scenarios[0]!.name}` })}>{texts.useTheVirtualVehicle}</button>
        )}
      </div>
      {hello.value?.local === false ? <p class="fine">{words.elsewhere}</p> : <><PortList /><TypedPort busy={busy} /></>}
      {busy && <p class="fine">{words.busyHere}</p>}
    </section>
  );
}

/** A port that the system does not list. */
function TypedPort({ busy }: { busy: boolean }) {
  const path = useSignal('');
  return (
    <form
      class="form-row"
      onSubmit={(event) => {
        event.preventDefault();
        const typed = path.value.trim();
        if (typed !== '') send({ type: 'source', do: 'choose', spec: typed.startsWith('serial:') ? typed : `serial:${typed}` });
      }}
    >
      <label class="field field-wide"><span class="field-name">{words.typed}</span>
        <input type="text" placeholder={texts.portExample} autocomplete="off" spellcheck={false} value={path.value} onInput={(event) => (path.value = event.currentTarget.value)} />
      </label>
      <button type="submit" class="button button-quiet" disabled={busy}>{words.connect}</button>
    </form>
  );
}
