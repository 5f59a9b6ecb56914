import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Access } from './access.ts';

/** 192 random bits in 32 characters that need no escaping in a URL fragment. */
export function makeKey(): string {
  return randomBytes(24).toString('base64url');
}

/** Digests of equal length, so that comparing them tells nothing about the length of the key either. */
export function digestOf(key: string): Buffer {
  return createHash('sha256').update(key).digest();
}

export function sameDigest(one: Buffer, other: Buffer): boolean {
  return timingSafeEqual(one, other);
}

/** Who showed a key: one of this run, a device by its id, or somebody with a ticket. */
export interface Holder {
  readonly id: string;
  readonly access: Access;
  /** of the tablet the key was made for; null for a key of this run */
  readonly device: string | null;
}

/** Keys that outlive a run of the daemon (devices.ts). */
interface KnownDevices {
  holderOf(keyDigest: Buffer): Holder | null;
}

/** The keys that open: those of this run, made anew at every start, and those of the devices, which stay. */
export class Keys {
  readonly #ofThisRun: readonly { readonly digest: Buffer; readonly holder: Holder }[];
  readonly #devices: KnownDevices;

  constructor(keys: Readonly<Record<Access, string>>, devices: KnownDevices) {
    this.#ofThisRun = [
      { digest: digestOf(keys.operate), holder: { id: 'operate', access: 'operate', device: null } },
      { digest: digestOf(keys.view), holder: { id: 'view', access: 'view', device: null } },
    ];
    this.#devices = devices;
  }

  /** null: no key of this daemon */
  holderOf(candidate: string): Holder | null {
    const digest = digestOf(candidate);
    let holder = this.#devices.holderOf(digest);
    // all are compared, in equal time: the answer tells nothing about how near a wrong key was
    for (const known of this.#ofThisRun) if (sameDigest(digest, known.digest)) holder = known.holder;
    return holder;
  }
}
