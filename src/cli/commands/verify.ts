import { Command } from 'commander';
import { mendTrace } from '../../daemon/store/samples/mend.ts';
import { verifyTrace } from '../../daemon/store/samples/verify.ts';
import { progressBar } from '../progress.ts';
import { type CliIo, InputError } from '../io.ts';
import { en } from '../../core/present/en/index.ts';

const words = en.cli.commands.verify;

export function verifyCommand(io: CliIo): Command {
  return new Command('verify')
    .description(words.checksEveryBlockOf)
    .argument('<trace>', words.aTraceFolderOr)
    .option('--mend', words.repairFirstWhatA)
    .option('--json', words.oneJsonDocument)
    .addHelpText('after', words.exitCodes0Every)
    .action(async (path: string, options: { json?: boolean; mend?: boolean }) => {
      if (options.mend === true) for (const text of await mendTrace(path)) io.err(`${text}\n`);
      const bar = progressBar(io, 'verify');
      const report = await verifyTrace(path, bar.update, io.signal);
      bar.end();
      if (options.json === true) io.out(`${JSON.stringify(report)}\n`);
      else {
        for (const range of report.damaged) io.out(words.damagedSToS(range.start_s.toFixed(3), range.end_s.toFixed(3), range.text));
        for (const problem of report.problems) io.out(`${problem.text}\n`);
        io.out(report.ok ? words.wholeBlocksSamples(report.blocks, report.samples) : words.damagedSamplesStillReadable(report.damaged.length, report.samples));
      }
      if (!report.ok) throw new InputError(words.isDamagedOrWas(path));
    });
}
