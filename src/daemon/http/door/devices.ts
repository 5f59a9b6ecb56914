import { rename } from 'node:fs/promises';
import { join } from 'node:path';
import { randomBytes } from 'node:crypto';
import type { DeviceView } from '../../../core/wire/api.ts';
import { readSmallFile, writeJson } from '../../store/files/record-file.ts';
import { explainError, StoreError } from '../../store/files/store-error.ts';
import type { Access } from './access.ts';
import { digestOf, makeKey, sameDigest, type Holder } from './keys.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.devices;

const FILE = 'devices.json';
const SCHEMA = 'amptrail-devices/1';
/** A workshop has a few tablets; each key is compared at every request. */
const MAX_DEVICES = 50;
/** The day a device was last there is enough to know which ones are not used any more. */
const NOTE_SEEN_EVERY_MS = 3_600_000;

interface Device extends DeviceView {
  /** SHA-256 of the key, hex. The key has 192 random bits, so nothing slower is needed to keep it from being found again. */
  sha256: string;
}

/** The tablets that may come back after a restart: each has a name and a key of its own, and each can be shut out alone. */
export class Devices {
  readonly #path: string;
  readonly #now: () => Date;
  #devices: readonly Device[];
  #writing: Promise<void> = Promise.resolve();

  private constructor(path: string, now: () => Date, devices: readonly Device[]) {
    this.#path = path;
    this.#now = now;
    this.#devices = devices;
  }

  /** Reads the devices of a data folder. A damaged list lets nobody in; it is put aside, not written over, and said so. */
  static async open(dataFolder: string, now: () => Date, log: (text: string) => void): Promise<Devices> {
    const path = join(dataFolder, FILE);
    const text = await readSmallFile(path).catch(() => '');
    const devices = text === null ? [] : readDevices(text);
    if (devices === null) {
      await rename(path, join(dataFolder, 'devices-damaged.json')).catch(() => undefined);
      log(words.theListOfTablets);
    }
    return new Devices(path, now, devices ?? []);
  }

  list(): DeviceView[] {
    return this.#devices.map(viewOf);
  }

  /** Who this key belongs to; null when to no device. */
  holderOf(keyDigest: Buffer): Holder | null {
    let found: Device | null = null;
    for (const device of this.#devices) if (sameDigest(keyDigest, Buffer.from(device.sha256, 'hex'))) found = device;
    if (found === null) return null;
    this.#noteSeen(found);
    return { id: found.id, access: found.access, device: found.name };
  }

  /** A new device. Its key is shown once, here, and kept by nobody but the device. */
  async add(name: string, access: Access): Promise<{ device: DeviceView; key: string }> {
    if (this.#devices.length >= MAX_DEVICES) throw new StoreError('exists', words.thereAreTabletsAlready(MAX_DEVICES));
    if (this.#devices.some((device) => device.name === name)) throw new StoreError('exists', words.thereIsATablet(name));
    const key = makeKey();
    const device: Device = { id: randomBytes(6).toString('hex'), name, access, created: this.#now().toISOString(), last_seen: null, sha256: digestOf(key).toString('hex') };
    await this.#keep([...this.#devices, device]);
    return { device: viewOf(device), key };
  }

  /** Shuts a device out for good. */
  async remove(id: string): Promise<void> {
    if (!this.#devices.some((device) => device.id === id)) throw new StoreError('not-found', words.thereIsNoSuch);
    await this.#keep(this.#devices.filter((device) => device.id !== id));
  }

  /** what is being written is on the disk when this resolves */
  async close(): Promise<void> {
    await this.#writing.catch(() => undefined);
  }

  #noteSeen(device: Device): void {
    const now = this.#now();
    if (device.last_seen !== null && now.getTime() - Date.parse(device.last_seen) < NOTE_SEEN_EVERY_MS) return;
    // a disk that does not take the note is no reason to shut the device out
    void this.#keep(this.#devices.map((one) => (one === device ? { ...one, last_seen: now.toISOString() } : one))).catch(() => undefined);
  }

  /** In force at once; on the disk when this resolves. */
  #keep(devices: readonly Device[]): Promise<void> {
    this.#devices = devices;
    const write = (): Promise<void> => writeJson(this.#path, { schema: SCHEMA, devices }).catch((error: unknown) => Promise.reject(explainError(error, words.writeTheListOfTablets)));
    this.#writing = this.#writing.catch(() => undefined).then(write);
    return this.#writing;
  }
}

function viewOf({ id, name, access, created, last_seen }: Device): DeviceView {
  return { id, name, access, created, last_seen };
}

/** null: the file is no list of devices */
function readDevices(text: string): Device[] | null {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return null;
  }
  const { schema, devices } = (value ?? {}) as { schema?: unknown; devices?: unknown };
  return schema === SCHEMA && Array.isArray(devices) && devices.length <= MAX_DEVICES && devices.every(isDevice) ? devices : null;
}

function isDevice(value: unknown): value is Device {
  const { id, name, access, created, last_seen, sha256 } = (value ?? {}) as Record<string, unknown>;
  const texts = [id, name, created].every((text) => typeof text === 'string' && text.length <= 200);
  return texts && (access === 'view' || access === 'operate') && (last_seen === null || (typeof last_seen === 'string' && !Number.isNaN(Date.parse(last_seen)))) && typeof sha256 === 'string' && /^[0-9a-f]{64}$/.test(sha256);
}
