import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Access } from './access.ts';

/** 192 random bits in 32 characters that need no escaping in a URL fragment. */
export function makeKey(): string {
  return randomBytes(24).toString('base64url');
}

/** The keys of one run of the daemon, each with what it allows. */
export class Keys {
  readonly #known: readonly { readonly digest: Buffer; readonly access: Access }[];

  constructor(keys: Readonly<Record<Access, string>>) {
    this.#known = [
      { digest: digestOf(keys.operate), access: 'operate' },
      { digest: digestOf(keys.view), access: 'view' },
    ];
  }

  /** null: no key of this daemon */
  accessOf(candidate: string): Access | null {
    const digest = digestOf(candidate);
    let access: Access | null = null;
    // all are compared, in equal time: the answer tells nothing about how near a wrong key was
    for (const known of this.#known) if (timingSafeEqual(digest, known.digest)) access = known.access;
    return access;
  }
}

/** Digests of equal length, so that the comparison tells nothing about the length of the key either. */
function digestOf(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
