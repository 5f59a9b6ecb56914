import { extname } from 'node:path';
import { Command } from 'commander';
import { endingsOf, EVERY_ENDING, formatOf, PICTURE_FORMATS } from '../../core/tracefile/formats.ts';
import { convertTrace } from '../../daemon/store/exchange/convert.ts';
import { progressBar } from '../progress.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { readNumber } from '../arguments.ts';
import { UsageError, type CliIo } from '../io.ts';

export function convertCommand(io: CliIo): Command {
  const command = new Command('convert')
    .description(`by extension: ${EVERY_ENDING}, or a trace folder`)
    .argument('<in>', 'a trace folder, .csv or .arrows; for .zip also the folder of a job; for Parquet of everything, a data folder; or a .zip to unpack into a folder')
    .argument('<out>', `a file ending in ${EVERY_ENDING}, or a folder to make`)
    .option('--from <s>', 'for pictures: draw from this second of the trace', readNumber('--from', 0, 1e9))
    .option('--to <s>', 'for pictures: draw up to this second of the trace', readNumber('--to', 0, 1e9));
  return addReadOptions(command)
    .addHelpText('after', '\nExample:\n  amptrail convert meter.csv winch.arrows --columns time=Time:ms,current=Channel1:mA\n  amptrail convert jobs/unfiled/2026-11-25T06-30-00Z night.png --from 3600 --to 7200\n')
    .action(async (from: string, to: string, flags: ReadFlags & { from?: number; to?: number }) => {
      if ((flags.from !== undefined || flags.to !== undefined) && !PICTURE_FORMATS.some((format) => format === formatOf(extname(to)))) throw new UsageError(`--from and --to are for pictures (${endingsOf(PICTURE_FORMATS)})`);
      if (extname(to) !== '' && formatOf(extname(to)) === null) throw new UsageError(`${to}: a trace is written as ${EVERY_ENDING}, or as a folder (no ending)`);
      const bar = progressBar(io, 'convert');
      const summary = await convertTrace(from, to, { ...readOptions(flags), stretch: { fromS: flags.from ?? null, toS: flags.to ?? null } }, bar.update, io.signal);
      bar.end();
      for (const problem of summary.problems) io.err(`${problem.text}\n`);
      const { files } = summary;
      if (files !== undefined) return io.err(`${files.written} written, ${files.skipped} there already, ${files.replaced} replaced, ${files.refused} refused, ${files.removed} removed: ${to}\n`);
      io.err(summary.samples > 0 ? `${summary.samples} samples written to ${to}\n` : `written to ${to}\n`);
    });
}
