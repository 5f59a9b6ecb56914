import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Access } from './access.ts';

/** 192 random bits in 32 characters that need no escaping in a URL fragment. */
export function makeKey(): string {
  return randomBytes(24).toString('base64url');
}

/** Who showed a key. */
export interface Holder {
  readonly id: string;
  readonly access: Access;
}

/** The keys of one run of the daemon, each with what it allows. */
export class Keys {
  readonly #known: readonly { readonly digest: Buffer; readonly holder: Holder }[];

  constructor(keys: Readonly<Record<Access, string>>) {
    this.#known = [
      { digest: digestOf(keys.operate), holder: { id: 'operate', access: 'operate' } },
      { digest: digestOf(keys.view), holder: { id: 'view', access: 'view' } },
    ];
  }

  /** null: no key of this daemon */
  holderOf(candidate: string): Holder | null {
    const digest = digestOf(candidate);
    let holder: Holder | null = null;
    // all are compared, in equal time: the answer tells nothing about how near a wrong key was
    for (const known of this.#known) if (timingSafeEqual(digest, known.digest)) holder = known.holder;
    return holder;
  }
}

/** Digests of equal length, so that the comparison tells nothing about the length of the key either. */
function digestOf(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
