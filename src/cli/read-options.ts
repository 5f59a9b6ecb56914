import type { Command } from 'commander';
import { readNumber } from './arguments.ts';
import { parseColumns } from '../core/decode/columns.ts';
import { UsageError } from './io.ts';
import type { OpenOptions } from '../daemon/store/samples/reading/trace-reader.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.readOptions;

export interface ReadFlags {
  columns?: string;
  rate?: number;
  skipBad?: boolean;
}

/** The options of every command that reads other people's CSV files. */
export function addReadOptions(command: Command): Command {
  return command
    .option('--columns <map>', words.forOtherCsvFiles)
    .option('--rate <hz>', words.samplesASecondFor, readNumber('--rate', 1e-4, 1e6))
    .option('--skip-bad', words.countAndListBad);
}

export function readOptions(flags: ReadFlags): OpenOptions {
  const options: { -readonly [Key in keyof OpenOptions]: OpenOptions[Key] } = {};
  if (flags.columns !== undefined) {
    const answer = parseColumns(flags.columns);
    if (!answer.ok) throw new UsageError(`--columns: ${answer.text}`);
    options.columns = answer.columns;
  }
  if (flags.rate !== undefined) options.rateHz = flags.rate;
  if (flags.skipBad === true) options.skipBad = true;
  return options;
}
