import { Command } from 'commander';
import { describeMetric } from '../../core/analysis/compare/describe.ts';
import type { CompareResult } from '../../core/analysis/compare/results.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { significant } from '../../core/units.ts';
import { compareAnalysed, testOf } from '../../daemon/prove/gather.ts';
import { openTrace } from '../../daemon/store/trace-reader.ts';
import { analyseOpened } from '../analyse-file.ts';
import { readNumber, readRange, readTest } from '../arguments.ts';
import { EXIT, InputError, UsageError, type CliIo } from '../io.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { bullet, textTable } from '../table.ts';

interface Flags extends ReadFlags {
  test?: TestKind;
  json?: boolean;
  runLimits?: [number, number];
  tolerance?: number;
  failOn?: string;
}

export function compareCommand(io: CliIo, finish: (code: number) => void): Command {
  const command = new Command('compare')
    .description('what changed between two traces, and whether the change is larger than the doubt')
    .argument('<before>', 'a trace folder, .csv or .arrows')
    .argument('<after>', 'another')
    .option('--test <kind>', 'actuation or drain; recorded traces know their own', readTest)
    .option('--json', 'one JSON document')
    .option('--run-limits <a:b>', 'the usual running range of this circuit, A', readRange('--run-limits'))
    .option('--tolerance <share>', 'a change below this share of the value before counts as the same, for example 0.1', readNumber('--tolerance', 0, 1))
    .option('--fail-on <what>', 'finding: exit 3 unless the second trace is repaired, better or unchanged');
  return addReadOptions(command)
    .addHelpText('after', '\nExample:\n  amptrail compare step-before.csv step-after.csv --test actuation\n')
    .action(async (beforePath: string, afterPath: string, flags: Flags) => {
      if (flags.failOn !== undefined && flags.failOn !== 'finding') throw new UsageError(`--fail-on takes the word finding, not "${flags.failOn}"`);
      const result = await compareFiles(beforePath, afterPath, flags, io);
      io.out(flags.json === true ? `${JSON.stringify(result)}\n` : present(result));
      if (flags.failOn === 'finding' && result.verdict.finding === 'worse') finish(EXIT.found);
    });
}

async function compareFiles(beforePath: string, afterPath: string, flags: Flags, io: CliIo): Promise<CompareResult> {
  const read = readOptions(flags);
  const before = await openTrace(beforePath, read);
  try {
    const after = await openTrace(afterPath, read);
    try {
      // a plain file beside a recorded trace is taken as the same test
      const test = flags.test ?? testOf(before, undefined) ?? testOf(after, undefined) ?? undefined;
      const other = testOf(after, flags.test);
      if (test !== undefined && other !== null && other !== test) {
        throw new InputError(`${beforePath} is a test of kind ${test}, ${afterPath} of kind ${other}: their figures have nothing in common`);
      }
      const options = {
        io,
        read,
        ...(test === undefined ? {} : { test }),
        ...(flags.runLimits === undefined ? {} : { actuation: { runLimitsA: flags.runLimits } }),
      };
      const first = await analyseOpened(before, options);
      const second = await analyseOpened(after, options);
      return compareAnalysed(first.result, second.result, flags.tolerance === undefined ? {} : { tolerance: flags.tolerance });
    } finally {
      await after.close();
    }
  } finally {
    await before.close();
  }
}

function present(result: CompareResult): string {
  let text = `finding: ${result.verdict.finding}\n`;
  for (const sentence of result.verdict.because) text += bullet(sentence);
  text += 'check next:\n';
  for (const sentence of result.verdict.next) text += bullet(sentence);
  if (result.pairs.length > 0) {
    text += `\n${textTable(
      ['figure', 'way', 'before', 'after', 'change', 'low', 'high', 'judgement'],
      result.pairs.map((pair) => {
        const { words, unit } = describeMetric(pair.metric);
        const figure = (value: number | null): string => (value === null ? '-' : significant(value, 3));
        return [unit === '' ? words : `${words}, ${unit}`, pair.direction ?? '', figure(pair.before), figure(pair.after), figure(pair.change), figure(pair.low), figure(pair.high), pair.judgement];
      }),
    )}`;
  }
  for (const problem of result.problems) text += `note: ${problem.text}\n`;
  return text;
}
