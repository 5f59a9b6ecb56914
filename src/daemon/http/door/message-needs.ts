import type { FromPage } from '../../../core/wire/messages.ts';
import { suffices, type Access, type Needs } from './access.ts';

/** What each message of a page needs. A message type that is not here does not compile, and is refused. */
export const MESSAGE_NEEDS: Readonly<Record<FromPage['type'], Needs>> = {
  join: 'nothing',
  test: 'operate',
  job: 'operate',
  controls: 'operate',
  record: 'operate',
  arm: 'operate',
  mark: 'operate',
  zero: 'operate',
  source: 'operate',
};

/** What only the page that holds the controls may send: everything that changes the running test. A mark adds to it, so every hand may set one. */
export const NEEDS_CONTROLS: Readonly<Record<FromPage['type'], boolean>> = {
  join: false,
  controls: false,
  mark: false,
  test: true,
  job: true,
  record: true,
  arm: true,
  zero: true,
  source: true,
};

export function maySend(access: Access | null, type: string): boolean {
  return Object.hasOwn(MESSAGE_NEEDS, type) && suffices(access, MESSAGE_NEEDS[type as FromPage['type']]);
}
