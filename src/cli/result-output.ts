import { Option } from 'commander';
import { language } from '../core/present/language.ts';
import type { CliIo } from './io.ts';

const words = language.cli.results.resultOutput;

export interface JsonFlag {
  json?: boolean;
}

export interface DataFlag {
  data?: string;
}

/** `--json`, the same for every command that prints a result. */
export function jsonOption(): Option {
  return new Option('--json', words.oneJsonDocument);
}

/** `--data DIR`, for commands that read or change what is kept there. */
export function dataOption(): Option {
  return new Option('--data <dir>', words.whereJobsAreKept);
}

/** The result on stdout: one JSON document, or the text for people. */
export function printResult(io: CliIo, flags: JsonFlag, document: unknown, forPeople: () => string): void {
  io.out(flags.json === true ? `${JSON.stringify(document)}\n` : forPeople());
}
