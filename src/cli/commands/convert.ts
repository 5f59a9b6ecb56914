import { extname } from 'node:path';
import { Command } from 'commander';
import { endingsOf, EVERY_ENDING } from '../../core/present/endings.ts';
import { formatOf, PICTURE_FORMATS } from '../../core/tracefile/formats.ts';
import { convertTrace } from '../../daemon/store/exchange/convert.ts';
import { progressBar } from '../progress.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { readNumber } from '../arguments.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.convert;

export function convertCommand(io: CliIo): Command {
  const command = new Command('convert')
    .description(words.byExtensionOrA(EVERY_ENDING))
    .argument('<in>', words.aTraceFolderCsv)
    .argument('<out>', words.aFileEndingIn(EVERY_ENDING))
    .option('--from <s>', words.forPicturesDrawFrom, readNumber('--from', 0, 1e9))
    .option('--to <s>', words.forPicturesDrawUp, readNumber('--to', 0, 1e9));
  return addReadOptions(command)
    .addHelpText('after', words.example)
    .action(async (from: string, to: string, flags: ReadFlags & { from?: number; to?: number }) => {
      if ((flags.from !== undefined || flags.to !== undefined) && !PICTURE_FORMATS.some((format) => format === formatOf(extname(to)))) throw new UsageError(words.fromAndToAre(endingsOf(PICTURE_FORMATS)));
      if (extname(to) !== '' && formatOf(extname(to)) === null) throw new UsageError(words.aTraceIsWritten(to, EVERY_ENDING));
      const bar = progressBar(io, 'convert');
      const summary = await convertTrace(from, to, { ...readOptions(flags), stretch: { fromS: flags.from ?? null, toS: flags.to ?? null } }, bar.update, io.signal);
      bar.end();
      for (const problem of summary.problems) io.err(`${problem.text}\n`);
      const { files } = summary;
      if (files !== undefined) {
        io.err(words.writtenThereAlreadyReplaced(files.written, files.skipped, files.replaced, files.refused, files.removed, to));
        if (summary.unusable !== undefined) throw new InputError(words.couldNotBeExported(summary.unusable));
        return;
      }
      io.err(summary.samples > 0 ? words.samplesWrittenTo(summary.samples, to) : words.writtenTo(to));
    });
}
