import { useSignal } from '@preact/signals';
import type { DeviceView } from '../../src/core/wire/api.ts';
import { language } from '../../src/core/present/language.ts';
import { removeDevice } from '../net/api.ts';
import { formatDate } from '../reading/format.ts';
import { wordsOf } from '../state/stored.ts';

const words = language.together.tablets;
/** How long the question stays before the button means its first tap again, ms. */
const SECOND_TAP_MS = 5000;

/** One tablet: what it may, when it was last here, and the way to shut it out, which takes two taps. */
export function TabletRow({ device, mayShutOut, done }: { device: DeviceView; mayShutOut: boolean; done: (text: string) => void }) {
  const warned = useSignal(false);
  const { id, name, access, created, last_seen: lastSeen } = device;
  const shutOut = async (): Promise<void> => {
    if (!warned.value) {
      warned.value = true;
      setTimeout(() => (warned.value = false), SECOND_TAP_MS);
      return;
    }
    done(await removeDevice(id).then(() => words.shutOutDone(name), wordsOf));
  };
  return (
    <li class="plate tablet">
      <b>{name}</b>
      <span>{words.may[access].short}</span>
      <span class="fine">{words.since(formatDate(created))}, {lastSeen === null ? words.neverSeen : words.seen(formatDate(lastSeen))}</span>
      {mayShutOut && <button type="button" class="tool" onClick={() => void shutOut()}>{warned.value ? words.reallyShutOut(name) : words.shutOut(name)}</button>}
    </li>
  );
}
