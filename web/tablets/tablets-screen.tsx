import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { DeviceMade, DeviceView } from '../../src/core/wire/api.ts';
import { language } from '../../src/core/present/language.ts';
import { Glyph } from '../app/glyph.tsx';
import { listDevices } from '../net/api.ts';
import { hello, mayChange } from '../state/live.ts';
import { wordsOf } from '../state/stored.ts';
import { MadeCard } from './made-card.tsx';
import { NewTablet } from './new-tablet.tsx';
import { TabletRow } from './tablet-row.tsx';
import './tablets.css';

const words = language.together.tablets;

/** Which other devices may come in, with a name and a key each; let in and shut out one by one, on the computer itself. */
export function TabletsScreen() {
  const devices = useSignal<readonly DeviceView[] | null>(null);
  const made = useSignal<DeviceMade | null>(null);
  const said = useSignal('');
  const error = useSignal('');
  const here = hello.value?.local === true;
  const lan = hello.value?.lan === true;
  const refresh = async (): Promise<void> => {
    try {
      devices.value = await listDevices();
      error.value = '';
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const known = hello.value !== null && mayChange.value;
  useEffect(() => {
    if (known) void refresh();
  }, [known]);
  return (
    <div class="page">
      <div class="page-head"><h1>{words.title}</h1></div>
      {hello.value !== null && !mayChange.value && <Note text={words.viewOnly} />}
      {known && !lan && <Note text={`${words.off} ${words.offHow}`} />}
      {known && !here && <Note text={words.elsewhere} />}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      {known && (
        <div class="two two-even">
          <div class="stack">
            {made.value !== null ? <MadeCard made={made.value} done={() => (made.value = null)} />
            : here && lan && <NewTablet done={(device) => {
              made.value = device;
              said.value = '';
              void refresh();
            }} />}
            <section class="plate stack" aria-label={words.install}>
              <h2>{words.install}</h2>
              <p>{words.installHere}</p>
              <p>{words.installThere}</p>
            </section>
          </div>
          <section aria-label={words.list}>
            <h2 class="section-name">{words.list}</h2>
            <p class="fine" role="status">{said.value}</p>
            {devices.value?.length === 0 && <p class="plate empty">{words.none}</p>}
            <ul class="tablet-list">
              {(devices.value ?? []).map((device) => (
                <TabletRow device={device} mayShutOut={here} key={device.id} done={(text) => {
                  said.value = text;
                  if (made.value?.device.id === device.id) made.value = null;
                  void refresh();
                }} />
              ))}
            </ul>
          </section>
        </div>
      )}
    </div>
  );
}

function Note({ text }: { text: string }) {
  return <p class="notice notice-open"><Glyph shape="open" size={18} />{text}</p>;
}
