/** Why the daemon could not start or a capture could not be made. The command line turns each into an exit code. */
type DaemonFault =
  /** the words of the call cannot mean anything: an unknown scenario, a port number out of range */
  | 'bad-source'
  | 'bad-port'
  /** something of this machine is in the way */
  | 'port-in-use'
  | 'port-refused'
  | 'data-folder'
  | 'data-folder-in-use'
  | 'pages-missing'
  | 'source-failed'
  | 'bad-output';

/** The text says what, where, and what to do about it; it is meant for the person who typed the command. */
export class DaemonError extends Error {
  readonly code: DaemonFault;

  constructor(code: DaemonFault, text: string) {
    super(text);
    this.name = 'DaemonError';
    this.code = code;
  }
}

/** An answer to an HTTP request that could not be met: status, a stable code for programs, a sentence for people. */
export class RequestError extends Error {
  readonly status: number;
  readonly code: string;

  constructor(status: number, code: string, text: string) {
    super(text);
    this.name = 'RequestError';
    this.status = status;
    this.code = code;
  }
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** The operating system's code of a failed call (`EADDRINUSE`, `ENOSPC`), null when the error carries none. */
export function systemCode(error: unknown): string | null {
  const code = (error as { code?: unknown } | null)?.code;
  return typeof code === 'string' ? code : null;
}
