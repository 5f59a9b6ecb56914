import { Command } from 'commander';
import { convertTrace } from '../../daemon/store/convert.ts';
import { progressBar } from '../progress.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { type CliIo } from '../io.ts';

export function convertCommand(io: CliIo): Command {
  const command = new Command('convert')
    .description('by extension: .csv, .arrows, .parquet (write only), or a trace folder')
    .argument('<in>', 'a trace folder, .csv or .arrows')
    .argument('<out>', 'a file ending in .csv, .arrows or .parquet, or a folder to make');
  return addReadOptions(command)
    .addHelpText('after', '\nExample:\n  amptrail convert meter.csv winch.arrows --columns time=Time:ms,current=Channel1:mA\n')
    .action(async (from: string, to: string, flags: ReadFlags) => {
      const bar = progressBar(io, 'convert');
      const summary = await convertTrace(from, to, readOptions(flags), bar.update, io.signal);
      bar.end();
      for (const problem of summary.problems) io.err(`${problem.text}\n`);
      io.err(`${summary.samples} samples written to ${to}\n`);
    });
}
