import { Command } from 'commander';
import { recordTrace } from '../../daemon/recording/record.ts';
import { readDuration, readNumber } from '../arguments.ts';
import { InputError, type CliIo } from '../io.ts';
import { checkSpec } from './serve.ts';
import { formatDuration, language } from '../../core/present/language.ts';

const words = language.cli.commands.record;

interface Options {
  source: string;
  for?: number;
  thin?: number;
}

export function recordCommand(io: CliIo): Command {
  return new Command('record')
    .description(words.captureWithoutABrowser)
    .argument('<out>', words.aTraceFolderTo)
    .requiredOption('--source <spec>', words.autoSerialPathBaud)
    .option('--for <duration>', words.stopByItselfAfter, readDuration('--for'))
    .option('--thin <ampere>', words.forNightsKeepThe, readNumber('--thin', 1e-6, 1e5))
    .addHelpText('after', words.exitCode1Also)
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
      io.out(words.samplesOverWrittenTo(summary.samples, formatDuration(summary.durationS), out));
      if (summary.trouble !== null) throw new InputError(summary.trouble);
    });
}
