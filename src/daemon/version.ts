import { readFileSync } from 'node:fs';

/** The version in package.json, which is two folders above this file both in the source tree and in the built one. */
export const VERSION: string = (JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string }).version;
