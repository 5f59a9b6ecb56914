import { readFile } from 'node:fs/promises';
import { Command } from 'commander';
import { readFuseList } from '../../core/analysis/readings/fuse-list.ts';
import { surveyFuses } from '../../core/analysis/readings/fuse-survey.ts';
import type { FuseSurvey } from '../../core/analysis/readings/types.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { formatCurrent, formatCurrentWithin, language, plain, significant } from '../../core/present/language.ts';
import { fuseProblems } from '../../core/present/wording/fuse-words.ts';
import { FUSE_RATINGS_A, FUSE_TYPES, fuseOhm } from '../../core/reference/blade-fuses.ts';
import { readNumber } from '../arguments.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { bullet, textTable } from '../table.ts';

const words = language.cli.commands.fuseDrop;

interface Flags extends JsonFlag {
  batteryA?: number;
  list?: boolean;
}

/** A list of a few dozen fuses is a few kilobytes. */
const MAX_LIST_BYTES = 1_000_000;

export function fuseDropCommand(io: CliIo): Command {
  return new Command('fuse-drop')
    .description(words.theCurrentThroughEach)
    .argument('[file]', words.csvWithTheHeader)
    .option('--battery-a <a>', words.whatTheClampAt, readNumber('--battery-a', -1e4, 1e4))
    .addOption(jsonOption())
    .option('--list', words.theFusesWhoseResistance)
    .addHelpText('after', words.example)
    .action(async (file: string | undefined, flags: Flags) => {
      if (flags.list === true) {
        io.out(knownFuses());
        return;
      }
      if (file === undefined) throw new UsageError(words.fuseDropNeedsA);
      const survey = surveyFuses(await readReadings(file), flags.batteryA ?? null);
      const { notes, ...numbers } = survey;
      const problems = fuseProblems(notes);
      printResult(io, flags, { ...numbers, problems }, () => surveyTable(survey) + [...problems.map(({ text }) => text), ...language.fuses.cautions].map((text) => bullet(text)).join(''));
    });
}

async function readReadings(file: string): Promise<ReturnType<typeof readFuseList>['readings']> {
  const bytes = await readFile(file).catch((error: NodeJS.ErrnoException) => {
    throw new InputError(words.cannotBeReadCheck(file, error.code ?? 'error'));
  });
  if (bytes.length > MAX_LIST_BYTES) throw new InputError(words.isLargerThan1(file));
  const { readings, error } = readFuseList(bytes, bytes.toString('utf8'));
  if (error !== null) throw new InputError(`${file}: ${error}`);
  return readings;
}

function surveyTable({ fuses, not_in_sum, sum_a, low_a, high_a, left_over_a, low_left_over_a, high_left_over_a }: FuseSurvey): string {
  const within = ({ current_a, low_a: low, high_a: high }: FuseSurvey['fuses'][number]) => (current_a === null || low === null || high === null ? null : formatCurrentWithin(current_a, low, high));
  const rows = fuses.map((fuse) => [
    fuse.label,
    fuse.type,
    plain(fuse.rating_a),
    significant(fuse.mv, 3),
    fuse.current_a === null ? words.cannotTell : `${fuse.reads_high ? words.below : ''}${within(fuse)?.figure ?? formatCurrent(fuse.current_a)}`,
    within(fuse)?.bounds ?? '',
  ]);
  const sum = not_in_sum.length === fuses.length ? '' : words.sum(withinWords(sum_a, low_a, high_a), not_in_sum.join(', '));
  const left = left_over_a === null ? '' : words.leftOver(withinWords(left_over_a, low_left_over_a ?? left_over_a, high_left_over_a ?? left_over_a));
  return textTable([words.fuse, words.type, words.ratingA, 'mV', words.current, words.bounds], rows) + sum + left;
}

function withinWords(currentA: number, lowA: number, highA: number): string {
  const { figure, bounds } = formatCurrentWithin(currentA, lowA, highA);
  return bounds === '' ? figure : `${figure} (${bounds})`;
}

function knownFuses(): string {
  const rows = FUSE_TYPES.flatMap((type) =>
    FUSE_RATINGS_A[type].map((ratingA) => {
      const known = fuseOhm(type, ratingA);
      return known === null
        ? [type, plain(ratingA), '-', '-', words.noSourceNeedsYour]
        : [type, plain(ratingA), significant(known.ohm * 1000, 3), `±${Math.round(known.spread * 100)} %`, known.source];
    }),
  );
  return textTable(['type', words.ratingA, words.coldMohm, 'spread', 'source'], rows);
}
