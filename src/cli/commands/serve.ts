import { once } from 'node:events';
import { Command } from 'commander';
import { startDaemon } from '../../daemon/serve.ts';
import { parseSpec } from '../../daemon/sources/open-source.ts';
import { readInteger } from '../arguments.ts';
import { UsageError, type CliIo } from '../io.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.serve;

interface Options {
  source: string;
  data?: string;
  port?: number;
  lan?: boolean;
}

export function serveCommand(io: CliIo): Command {
  return new Command('serve')
    .description(words.readsTheLoggerRecords)
    .option('--source <spec>', words.autoSerialPathBaud, 'auto')
    .option('--data <dir>', words.whereJobsAndTraces)
    .option('--port <n>', words.portOfThePages, readInteger('--port', 0, 65_535))
    .option('--lan', words.alsoAnswerOtherDevices)
    .addHelpText('after', words.example)
    .action(async (options: Options) => {
      checkSpec(options.source);
      const daemon = await startDaemon({
        source: options.source,
        lan: options.lan === true,
        log: (text) => io.err(`${text}\n`),
        ...(options.data === undefined ? {} : { dataDir: options.data }),
        ...(options.port === undefined ? {} : { port: options.port }),
      });
      io.out(words.amptrailIsReadyOpen(daemon.url));
      if (!io.signal.aborted) await once(io.signal, 'abort');
      io.err(words.closingARunningRecording);
      await daemon.close();
    });
}

/** A source that cannot be written is a mistake of the call (exit 2); one that does not answer is not. */
export function checkSpec(spec: string): void {
  try {
    parseSpec(spec);
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}
