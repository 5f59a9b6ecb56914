import type { FromPage, TestSettings } from '../../src/core/wire/messages.ts';
import { Link } from '../net/link.ts';
import { fallBackToDevice, keepForDevice, keptToken } from '../net/token.ts';
import { language } from '../../src/core/present/language.ts';
import { controls, link, mayWork, refused, settings, unreadable } from './live.ts';
import { handleFrame, handleLink, handleMessage, lookAtAge, takeSettings } from './live-messages.ts';

const words = language.screens.app.actions;

const connection: Link = new Link(keptToken, {
  state: (state, text) => {
    if (state === 'refused' && fallBackToDevice()) connection.open();
    else handleLink(state, text);
  },
  message: (message) => {
    if (message.type === 'hello' && message.device != null) keepForDevice();
    handleMessage(message);
  },
  frame: handleFrame,
  damaged: (text) => (unreadable.value = text),
});

/** How often the page looks at the age of what it shows, ms: far less than the two seconds after which that is old. */
const LOOK_MS = 250;

/** Connects, or says why that cannot be. */
export function connect(): void {
  if (keptToken() === '') handleLink('no-token', '');
  else {
    handleLink('connecting', '');
    connection.open();
    setInterval(lookAtAge, LOOK_MS);
  }
}

/** Asks the daemon for something. When the link is down, the page says that it was not done. */
export function send(message: FromPage): boolean {
  if (connection.send(message)) return true;
  if (link.peek().state !== 'no-token') refused.value = { what: message.type, text: words.notDoneThisPage };
  return false;
}

/** Changes some of the test settings; the daemon answers with what now holds. `goesOn`: what has been read so far is of the new test as well. */
export function changeSettings(change: Partial<TestSettings>, goesOn = false): void {
  if (settings.value === null) return;
  // what would be refused is not shown as if it held
  if (!mayWork.peek()) {
    refused.value = { what: 'test', text: language.together.notYours(controls.peek()?.holder ?? null) };
    return;
  }
  const next = { ...settings.value, ...change };
  takeSettings(next, goesOn);
  send({ type: 'test', settings: next });
}
