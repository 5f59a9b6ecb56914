import { writeFile } from 'node:fs/promises';
import { Command } from 'commander';
import { reportJson, type ReportAudience } from '../../core/report/input.ts';
import { renderReport } from '../../core/report/report.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { gatherReport } from '../../daemon/prove/report.ts';
import { openTrace, type TraceReader } from '../../daemon/store/samples/trace-reader.ts';
import { analyseOpened } from '../analyse-file.ts';
import { readNumber, readRange, readTest } from '../arguments.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';

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
    .description('a self-contained page with pictures, fit to print; two traces are set against each other as before and after, three or more side by side')
    .argument('<trace...>', 'trace folders, .csv or .arrows')
    .requiredOption('--out <file>', 'where to write, ending in .html or .json')
    .option('--for <reader>', 'customer (plain words, one picture) or file (everything)', 'file')
    .option('--test <kind>', 'actuation or drain; recorded traces know their own', readTest)
    .option('--run-limits <a:b>', 'the usual running range of this circuit, A', readRange('--run-limits'))
    .option('--tolerance <share>', 'of two traces: a change below this share of the value before counts as the same', readNumber('--tolerance', 0, 1));
  return addReadOptions(command)
    .addHelpText('after', '\nExample:\n  amptrail report step-before.csv step-after.csv --test actuation --out step.html --for customer\n')
    .action(async (paths: string[], flags: Flags) => {
      if (flags.for !== 'customer' && flags.for !== 'file') throw new UsageError(`--for is customer or file, not "${flags.for}"`);
      const asJson = flags.out.toLowerCase().endsWith('.json');
      if (!asJson && !/\.html?$/i.test(flags.out)) throw new UsageError(`--out ends in .html or .json, not "${flags.out}"`);
      const text = await reportOf(paths, flags, flags.for, asJson, io);
      try {
        await writeFile(flags.out, text);
      } catch (error) {
        throw new InputError(`${flags.out} cannot be written (${(error as NodeJS.ErrnoException).code ?? 'error'}): choose another place`);
      }
      io.err(`report written to ${flags.out}\n`);
    });
}

async function reportOf(paths: readonly string[], flags: Flags, audience: ReportAudience, asJson: boolean, io: CliIo): Promise<string> {
  const read = readOptions(flags);
  const readers: TraceReader[] = [];
  try {
    const analysed = [];
    for (const path of paths) {
      const reader = await openTrace(path, read);
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
