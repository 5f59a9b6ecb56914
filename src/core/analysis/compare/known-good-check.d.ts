import { type KnownGood } from './known-good.ts';
/**
 * A known-good document out of whatever a file held; a sentence that says what is wrong with it otherwise. The file may come from
 * anywhere, so every field is looked at.
 */
export declare function checkKnownGood(document: unknown): KnownGood | string;
