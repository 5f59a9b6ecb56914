import { DaemonError, messageOf, systemCode } from '../errors.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.server;

/** This machine speaks no IPv6: what opening a port says then. */
export function noIpv6(error: unknown): boolean {
  return systemCode(error) === 'EAFNOSUPPORT' || systemCode(error) === 'EADDRNOTAVAIL';
}

/** Why the port cannot be had, for the person who named it. */
export function portError(error: unknown, port: number): DaemonError {
  switch (systemCode(error)) {
    case 'EADDRINUSE':
      return new DaemonError('port-in-use', words.portIsInUse(port));
    case 'EACCES':
      return new DaemonError('port-refused', words.portMayNotBe(port));
    default:
      return new DaemonError('port-refused', words.portCannotBeOpened(port, messageOf(error)));
  }
}
