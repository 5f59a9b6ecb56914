#!/usr/bin/env node
import { closesFirst, runCli } from './run.ts';

/** The first Ctrl-C asks a command that has something to close to end cleanly, the second one ends the process. */
const stop = new AbortController();
for (const name of closesFirst(process.argv.slice(2)) ? (['SIGINT', 'SIGTERM'] as const) : []) {
  process.on(name, () => {
    if (stop.signal.aborted) process.exit(130);
    stop.abort();
  });
}
// a reader such as `head` that closes its end of the pipe is no fault
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

process.exitCode = await runCli(process.argv.slice(2), {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  signal: stop.signal,
  progress: process.stderr.isTTY === true,
});
