import type { FromPage } from '../../../core/wire/messages.ts';
import { suffices, type Access, type Needs } from './access.ts';

/** What each message of a page needs. A message type that is not here does not compile, and is refused. */
export const MESSAGE_NEEDS: Readonly<Record<FromPage['type'], Needs>> = {
  join: 'nothing',
  test: 'operate',
  record: 'operate',
  arm: 'operate',
  mark: 'operate',
  zero: 'operate',
  source: 'operate',
};

export function maySend(access: Access | null, type: string): boolean {
  return Object.hasOwn(MESSAGE_NEEDS, type) && suffices(access, MESSAGE_NEEDS[type as FromPage['type']]);
}
