import { Command } from 'commander';
import { recordTrace } from '../../daemon/recording/record.ts';
import { formatDuration } from '../../core/units.ts';
import { readDuration, readNumber } from '../arguments.ts';
import { InputError, type CliIo } from '../io.ts';
import { checkSpec } from './serve.ts';

interface Options {
  source: string;
  for?: number;
  thin?: number;
}

export function recordCommand(io: CliIo): Command {
  return new Command('record')
    .description('capture without a browser; Ctrl-C ends and finalises it')
    .argument('<out>', 'a trace folder to make, or a file ending in .csv')
    .requiredOption('--source <spec>', 'auto, serial:PATH[?baud=N&columns=…], sim:SCENARIO[?speed=N] or replay:TRACE[?speed=N]')
    .option('--for <duration>', 'stop by itself after, for example, 30s or 12h', readDuration('--for'))
    .option('--thin <ampere>', 'for nights: keep the full rate only around changes of more than so many A, elsewhere the extremes and the mean of each second', readNumber('--thin', 1e-6, 1e5))
    .addHelpText('after', '\nExit code 1 also means that the recording ended early (disk full, source failed); what was recorded until then is kept.\n\nExample:\n  amptrail record step-left --source serial:/dev/ttyACM0 --for 30s\n')
    .action(async (out: string, options: Options) => {
      checkSpec(options.source);
      const summary = await recordTrace({
        source: options.source,
        out,
        signal: io.signal,
        log: (text) => io.err(`${text}\n`),
        ...(options.for === undefined ? {} : { durationS: options.for }),
        ...(options.thin === undefined ? {} : { thinA: options.thin }),
      });
      io.out(`${summary.samples} samples over ${formatDuration(summary.durationS)} written to ${out}\n`);
      if (summary.trouble !== null) throw new InputError(summary.trouble);
    });
}
