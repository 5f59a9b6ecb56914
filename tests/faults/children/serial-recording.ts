import { recordTrace } from '../../../src/daemon/recording/record.ts';

/** Records from a serial port until it is asked to end; prints what the source says. */
const [port, folder] = process.argv.slice(2);
const stopper = new AbortController();
process.on('SIGTERM', () => stopper.abort());
const summary = await recordTrace({ source: `serial:${port}`, out: folder!, signal: stopper.signal, log: (text) => process.stdout.write(`${text}\n`) });
process.stdout.write(`done ${summary.samples}\n`);
