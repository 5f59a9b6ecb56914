import { once } from 'node:events';
import { Command } from 'commander';
import { startDaemon } from '../../daemon/serve.ts';
import { parseSpec } from '../../daemon/sources/open-source.ts';
import { readInteger } from '../arguments.ts';
import { UsageError, type CliIo } from '../io.ts';

interface Options {
  source: string;
  data?: string;
  port?: number;
  lan?: boolean;
}

export function serveCommand(io: CliIo): Command {
  return new Command('serve')
    .description('reads the logger, records, and serves the pages; prints the address to open')
    .option('--source <spec>', 'auto, serial:PATH[?baud=N&columns=…], sim:SCENARIO[?speed=N] or replay:TRACE[?speed=N]', 'auto')
    .option('--data <dir>', "where jobs and traces are kept (default: the platform's data directory)")
    .option('--port <n>', 'port of the pages; 0 takes any free one', readInteger('--port', 0, 65_535))
    .option('--lan', 'also answer other devices on this network, such as a tablet beside the vehicle')
    .addHelpText('after', '\nExample:\n  amptrail serve --source serial:/dev/ttyACM0 --lan\n')
    .action(async (options: Options) => {
      checkSpec(options.source);
      const daemon = await startDaemon({
        source: options.source,
        lan: options.lan === true,
        log: (text) => io.err(`${text}\n`),
        ...(options.data === undefined ? {} : { dataDir: options.data }),
        ...(options.port === undefined ? {} : { port: options.port }),
      });
      io.out(`amptrail is ready. Open this address:\n\n  ${daemon.url}\n\n`);
      if (!io.signal.aborted) await once(io.signal, 'abort');
      io.err('Closing: a running recording is finished first.\n');
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
