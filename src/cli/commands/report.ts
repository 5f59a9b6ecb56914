import { writeFile } from 'node:fs/promises';
import { Command } from 'commander';
import { reportJson, type ReportAudience } from '../../core/report/input.ts';
import { renderReport } from '../../core/report/report.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { gatherReport } from '../../daemon/prove/report.ts';
import type { TraceReader } from '../../daemon/store/samples/reading/trace-reader.ts';
import { analyseOpened, openShown } from '../analyse-file.ts';
import { readNumber, readRange, readTest } from '../arguments.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.report;

interface Flags extends ReadFlags {
  out: string;
  for: string;
  test?: TestKind;
  json?: boolean;
  runLimits?: [number, number];
  tolerance?: number;
}

export function reportCommand(io: CliIo): Command {
  const command = new Command('report')
    .description(words.aSelfContainedPage)
    .argument('<trace...>', words.traceFoldersCsvOrArrows)
    .requiredOption('--out <file>', words.whereToWriteEnding)
    .option('--for <reader>', words.customerPlainWordsOne, 'file')
    .option('--test <kind>', words.actuationOrDrainRecorded, readTest)
    .option('--run-limits <a:b>', words.theUsualRunningRange, readRange('--run-limits'))
    .option('--tolerance <share>', words.ofTwoTracesA, readNumber('--tolerance', 0, 1));
  return addReadOptions(command)
    .addHelpText('after', words.example)
    .action(async (paths: string[], flags: Flags) => {
      if (flags.for !== 'customer' && flags.for !== 'file') throw new UsageError(words.forIsCustomerOr(flags.for));
      const asJson = flags.out.toLowerCase().endsWith('.json');
      if (!asJson && !/\.html?$/i.test(flags.out)) throw new UsageError(words.outEndsInHtml(flags.out));
      const text = await reportOf(paths, flags, flags.for, asJson, io);
      try {
        await writeFile(flags.out, text);
      } catch (error) {
        throw new InputError(words.cannotBeWrittenChoose(flags.out, (error as NodeJS.ErrnoException).code ?? 'error'));
      }
      io.err(words.reportWrittenTo(flags.out));
    });
}

async function reportOf(paths: readonly string[], flags: Flags, audience: ReportAudience, asJson: boolean, io: CliIo): Promise<string> {
  const read = readOptions(flags);
  const readers: TraceReader[] = [];
  try {
    const analysed = [];
    for (const path of paths) {
      const reader = await openShown(path, read, io);
      readers.push(reader);
      analysed.push(
        await analyseOpened(reader, {
          io,
          read,
          ...(flags.test === undefined ? {} : { test: flags.test }),
          ...(flags.runLimits === undefined ? {} : { actuation: { runLimitsA: flags.runLimits } }),
        }),
      );
    }
    const input = await gatherReport(analysed, audience, new Date().toISOString(), flags.tolerance === undefined ? {} : { tolerance: flags.tolerance });
    return asJson ? reportJson(input) : renderReport(input);
  } finally {
    for (const reader of readers) await reader.close();
  }
}
