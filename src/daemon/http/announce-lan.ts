import { lanAddresses, qrForTerminal } from './addresses.ts';
import type { Access } from './door/access.ts';

/** What the person at the terminal must know of the network. */
export function announceLan(log: (text: string) => void, port: number, keys: Readonly<Record<Access, string>>): void {
  const [host] = lanAddresses();
  if (host === undefined) return log('This machine has no network address, so only pages on this machine can be served.');
  const url = `http://${host}:${port}/#${keys.operate}`;
  log(`Open on a device of this network: ${url}\n\n${qrForTerminal(url)}`);
  log(`To look only: http://${host}:${port}/#${keys.view}`);
  log(
    'Whoever has the first address can start and stop recordings, work the chosen logger, and read, change and add recordings. The second one only shows them. ' +
      'Neither opens other files or devices of this computer, and both end with amptrail. They travel unencrypted: use a network you trust.',
  );
}
