import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import type { PortAnswer, PortSeen } from '../../src/core/wire/api.ts';
import { request } from '../net/api.ts';
import { send } from '../state/actions.ts';
import { recording, source } from '../state/live.ts';
import { wordsOf } from '../state/stored.ts';

const words = language.pages.ports;

/** The serial devices that this computer sees: which is read here, which another program has open, and what answers on the others. */
export function PortList() {
  const ports = useSignal<readonly PortSeen[] | null>(null);
  const error = useSignal('');
  const look = async (): Promise<void> => {
    try {
      ports.value = (await (await request('GET', '/api/ports')).json()) as PortSeen[];
      error.value = '';
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const { spec = '', state = '', port = '' } = source.value ?? {};
  useEffect(() => void look(), [spec, state, port]);
  return (
    <div class="ports" role="group" aria-label={words.name}>
      <div class="ports-head"><h3>{words.name}</h3><button type="button" class="tool" onClick={() => void look()}>{words.again}</button></div>
      {ports.value === null && error.value === '' && <p class="fine">{words.looking}</p>}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      {ports.value?.length === 0 && <p>{words.none}</p>}
      <ul>{(ports.value ?? []).map((one) => <Port port={one} key={one.path} />)}</ul>
    </div>
  );
}

function Port({ port: { path, description, use } }: { port: PortSeen }) {
  const answer = useSignal('');
  const asking = useSignal(false);
  const ask = async (): Promise<void> => {
    asking.value = true;
    try {
      answer.value = ((await (await request('POST', '/api/ports/ask', { path })).json()) as PortAnswer).text;
    } catch (failure) {
      answer.value = wordsOf(failure);
    } finally {
      asking.value = false;
    }
  };
  return (
    <li data-use={use}>
      <p><code>{path}</code> <span class="badge">{words.use[use]}</span></p>
      <p class="fine">{description || words.unknown}</p>
      {use !== 'ours' && (
        <div class="form-end">
          <button type="button" class="tool" aria-disabled={asking.value} onClick={() => !asking.value && void ask()}>{words.ask}</button>
          <button type="button" class="tool" disabled={recording.value !== null} onClick={() => send({ type: 'source', do: 'choose', spec: `serial:${path}` })}>{words.read}</button>
        </div>
      )}
      <p class="fine" role="status">{asking.value ? words.asking : answer.value}</p>
    </li>
  );
}
