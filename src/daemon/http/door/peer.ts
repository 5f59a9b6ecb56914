import { isIPv6, type Socket } from 'node:net';

/** Where a connection comes from. */
export interface Peer {
  /** as one text for each device: IPv4 in its short form also when it came over an IPv6 socket */
  readonly address: string;
  /** the other end is a program of this computer (what a tunnel or a forwarding program sends on counts as such too) */
  readonly local: boolean;
}

export function peerOf(socket: Pick<Socket, 'remoteAddress'>): Peer {
  const address = (socket.remoteAddress ?? '').replace(/^::ffff:(?=\d+\.)/i, '').replace(/%.*$/, '').toLowerCase();
  return { address, local: address === '::1' || address.startsWith('127.') };
}

/** Devices choose their own IPv6 addresses within a network's 64 bits, so connections are counted for those together. */
export function countedAs(address: string): string {
  if (!isIPv6(address)) return address;
  const [head = '', tail] = address.split('::');
  const groups = head.split(':').filter(Boolean);
  const rest = tail === undefined ? [] : tail.split(':');
  const missing = Array.from({ length: Math.max(0, 8 - groups.length - rest.length) }, () => '0');
  return [...groups, ...missing, ...rest].slice(0, 4).join(':');
}
