import { hostname, networkInterfaces } from 'node:os';
import { encode, renderUnicodeCompact } from 'uqr';

/** Values the Host header may have when only this machine can reach the daemon. Browsers leave out port 80. */
export function loopbackHosts(port: number): string[] {
  return withPort(['127.0.0.1', 'localhost', '[::1]'], port);
}

/** The same for the workshop's network: every address and name this machine has at the moment of the start. */
export function lanHosts(port: number): string[] {
  const name = hostname().toLowerCase();
  const names = /^[a-z0-9][a-z0-9.-]*$/.test(name) ? [name, name.includes('.') ? name : `${name}.local`] : [];
  return [...loopbackHosts(port), ...withPort([...lanAddresses(), ...names], port)];
}

/** Addresses other devices can use: IPv4 first, then IPv6 in brackets; link-local IPv6 needs a zone that a Host header cannot carry. */
export function lanAddresses(): string[] {
  const found = Object.values(networkInterfaces()).flatMap((list) => list ?? []).filter((entry) => !entry.internal);
  const v4 = found.filter((entry) => entry.family === 'IPv4').map((entry) => entry.address);
  const v6 = found.filter((entry) => entry.family === 'IPv6' && !entry.address.toLowerCase().startsWith('fe80')).map((entry) => `[${entry.address.toLowerCase()}]`);
  return [...v4, ...v6];
}

/** A picture of the address in block characters, for the camera of a tablet. */
export function qrForTerminal(url: string): string {
  return renderUnicodeCompact(url, { border: 2 });
}

/** The same as rows of `#` and blanks, for a page to draw. */
export function qrRows(url: string): string {
  return encode(url, { border: 4 }).data.map((row) => row.map((dark) => (dark ? '#' : ' ')).join('')).join('\n');
}

function withPort(names: readonly string[], port: number): string[] {
  const hosts = names.map((name) => `${name}:${port}`);
  return port === 80 ? [...hosts, ...names] : hosts;
}
