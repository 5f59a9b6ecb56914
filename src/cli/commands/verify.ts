import { Command } from 'commander';
import { mendTrace } from '../../daemon/store/samples/mending/mend.ts';
import { verifyTrace, type VerifyReport } from '../../daemon/store/samples/mending/verify.ts';
import { progressBar } from '../progress.ts';
import { type CliIo, InputError } from '../io.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { decimal, language } from '../../core/present/language.ts';

const words = language.cli.commands.verify;

export function verifyCommand(io: CliIo): Command {
  return new Command('verify')
    .description(words.checksEveryBlockOf)
    .argument('<trace>', words.aTraceFolderOr)
    .option('--mend', words.repairFirstWhatA)
    .addOption(jsonOption())
    .addHelpText('after', words.exitCodes0Every)
    .action(async (path: string, options: JsonFlag & { mend?: boolean }) => {
      if (options.mend === true) for (const text of await mendTrace(path)) io.err(`${text}\n`);
      const bar = progressBar(io, 'verify');
      const report = await verifyTrace(path, bar.update, io.signal);
      bar.end();
      printResult(io, options, report, () => inWords(report));
      if (!report.ok) throw new InputError(words.isDamagedOrWas(path));
    });
}

function inWords({ ok, damaged, problems, blocks, samples }: VerifyReport): string {
  const lines = [...damaged.map((range) => words.damagedSToS(decimal(range.start_s, 3), decimal(range.end_s, 3), range.text)), ...problems.map(({ text }) => `${text}\n`)];
  return lines.join('') + (ok ? words.wholeBlocksSamples(blocks, samples) : words.damagedSamplesStillReadable(damaged.length, samples));
}
