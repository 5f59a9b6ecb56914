import { writeFile } from 'node:fs/promises';
import { Command } from 'commander';
import { learnKnownGood } from '../../core/present/documents/document-compare.ts';
import { metricWords } from '../../core/present/wording/compare-words.ts';
import { describeMetric } from '../../core/analysis/compare/describe.ts';
import type { ActuationResult } from '../../core/analysis/results.ts';
import { analyseFile } from '../analyse-file.ts';
import { InputError, type CliIo } from '../io.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { textTable } from '../table.ts';
import { language, significant } from '../../core/present/language.ts';

const texts = language.cli.commands.limits;

interface Flags extends ReadFlags {
  out?: string;
  circuit: string;
}

export function limitsCommand(io: CliIo): Command {
  const command = new Command('limits')
    .description(texts.learnsTheLimitsOf)
    .argument('<trace...>', texts.traceFoldersCsvOrArrows)
    .option('--circuit <name>', texts.whatTheyAreLimitsOf, '')
    .option('--out <file>', texts.keepThemAsJson);
  return addReadOptions(command)
    .addHelpText('after', texts.example)
    .action(async (paths: string[], flags: Flags) => {
      const results: ActuationResult[] = [];
      for (const path of paths) {
        const result = await analyseFile(path, { io, read: readOptions(flags), test: 'actuation' });
        if (result.test !== 'actuation') continue;
        if (result.actuations.length === 0) throw new InputError(texts.holdsNoActuationSo(path));
        results.push(result);
      }
      const known = learnKnownGood(flags.circuit, results);
      if (flags.out !== undefined) {
        try {
          await writeFile(flags.out, `${JSON.stringify(known, null, 2)}\n`);
        } catch (error) {
          throw new InputError(texts.cannotBeWrittenChoose(flags.out, (error as NodeJS.ErrnoException).code ?? 'error'));
        }
      }
      io.out(
        textTable(
          ['figure', 'way', 'low', 'high', 'traces'],
          known.limits.map((limit) => {
            const { unit } = describeMetric(limit.metric);
            const words = metricWords(limit.metric);
            return [`${words}, ${unit}`, limit.direction, significant(limit.low, 3), significant(limit.high, 3), String(limit.traces)];
          }),
        ),
      );
      for (const problem of known.problems) io.err(language.cli.results.presentVerdict.note(problem.text));
    });
}
