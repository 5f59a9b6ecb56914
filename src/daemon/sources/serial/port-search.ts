import { readdir } from 'node:fs/promises';
import type { PortAccess, PortDetails } from './serial-port.ts';

/** How a device is known again after it was unplugged: its path changes, its serial number does not. */
export interface PortIdentity {
  readonly path: string;
  readonly serialNumber: string | null;
  readonly vendorId: string | null;
  readonly productId: string | null;
}

/** What the operating system says of the device at `path`; only the path where it says nothing (a pty, a link, no udev). */
export async function identify(access: PortAccess, path: string): Promise<PortIdentity> {
  const details = (await listOrNone(access)).find((port) => port.path === path);
  return { path, serialNumber: details?.serialNumber ?? null, vendorId: details?.vendorId ?? null, productId: details?.productId ?? null };
}

/**
 * Where the device is now: by serial number, else by vendor and product (its old path first), else at its old path. Null when a
 * device that can be known again is not plugged in.
 */
export async function findAgain(access: PortAccess, identity: PortIdentity): Promise<string | null> {
  if (identity.vendorId === null && identity.serialNumber === null) return identity.path;
  const ports = await listOrNone(access);
  const alike = ports.filter((port) => isAlike(port, identity));
  return (alike.find((port) => port.path === identity.path) ?? alike[0])?.path ?? null;
}

/** Devices worth asking for a logger: USB ones, and Bluetooth; not the computer's own ports that are always listed. */
export function mayBeLogger(port: PortDetails): boolean {
  return port.vendorId !== null || !/ttyS\d+$/.test(port.path);
}

export async function listOrNone(access: PortAccess): Promise<readonly PortDetails[]> {
  try {
    return await access.list();
  } catch {
    // listing needs udevadm on Linux, which containers lack
    return namesAlone();
  }
}

/** What Linux calls USB and Bluetooth devices, where nobody can say more of them. */
async function namesAlone(): Promise<PortDetails[]> {
  if (process.platform !== 'linux') return [];
  const names = await readdir('/dev').catch(() => []);
  return names.filter((name) => /^(ttyACM|ttyUSB|rfcomm)\d+$/.test(name)).sort().map((name) => ({ path: `/dev/${name}`, manufacturer: null, serialNumber: null, vendorId: null, productId: null }));
}

function isAlike(port: PortDetails, identity: PortIdentity): boolean {
  if (identity.serialNumber !== null) return port.serialNumber === identity.serialNumber;
  return port.vendorId === identity.vendorId && port.productId === identity.productId;
}
