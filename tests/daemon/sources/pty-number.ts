import { constants, openSync } from 'node:fs';

/**
 * Keeps the number of a pseudo-terminal taken until this process ends. The system gives a number anew once both ends are closed, to whoever opens the next one; a daemon that waits for its lost
 * logger knows a pseudo-terminal by its path alone, and would open that of another test, which then says that another program has it. A logger on USB is known by its serial number.
 */
export function holdNumber(path: string): void {
  openSync(path, constants.O_RDWR | constants.O_NOCTTY | constants.O_NONBLOCK);
}
