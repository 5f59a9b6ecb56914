import { hostname, networkInterfaces, type NetworkInterfaceInfo } from 'node:os';
import { encode, renderUnicodeCompact } from 'uqr';

/** Values the Host header may have when only this machine can reach the daemon. Browsers leave out port 80. */
export function loopbackHosts(port: number): string[] {
  return withPort(['127.0.0.1', 'localhost', '[::1]'], port);
}

/** The same for the workshop's network: every address and name this machine has at the moment of the start. */
export function lanHosts(port: number, addresses = lanAddresses(), ownName = hostname()): string[] {
  const name = ownName.toLowerCase();
  const names = /^[a-z0-9][a-z0-9.-]*$/.test(name) ? (name.includes('.') ? [name] : [name, `${name}.local`]) : [];
  return [...loopbackHosts(port), ...withPort([...addresses, ...names], port)];
}

/** Addresses other devices can use: IPv4 first, then IPv6 in brackets; link-local IPv6 needs a zone that a Host header cannot carry. */
export function lanAddresses(interfaces: Readonly<Record<string, readonly Pick<NetworkInterfaceInfo, 'address' | 'family' | 'internal'>[] | undefined>> = networkInterfaces()): string[] {
  const found = Object.values(interfaces).flatMap((list) => list ?? []).filter(({ internal }) => !internal).map(({ family, address }) => ({ family, address: address.toLowerCase() }));
  const v4 = found.filter(({ family }) => family === 'IPv4').map(({ address }) => address);
  const v6 = found.filter(({ family, address }) => family === 'IPv6' && !address.startsWith('fe80')).map(({ address }) => `[${address}]`);
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
