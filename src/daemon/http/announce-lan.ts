import { lanAddresses, qrForTerminal } from './addresses.ts';
import type { Access } from './door/access.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.announceLan;

/** What the person at the terminal must know of the network. */
export function announceLan(log: (text: string) => void, port: number, keys: Readonly<Record<Access, string>>): void {
  const [host] = lanAddresses();
  if (host === undefined) return log(words.thisMachineHasNo);
  const url = `http://${host}:${port}/#${keys.operate}`;
  log(words.openOnADevice(url, qrForTerminal(url)));
  log(words.toLookOnly(`http://${host}:${port}/#${keys.view}`));
  log(
    words.whoeverHasTheFirst +
      words.neitherOpensOtherFiles,
  );
}
