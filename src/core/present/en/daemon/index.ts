import { http } from './http.ts';
import { running } from './running.ts';
import { sources } from './sources.ts';
import { store } from './store.ts';

/** The words of the daemon. Another language satisfies `typeof daemon`. */
export const daemon = { http, running, sources, store };
