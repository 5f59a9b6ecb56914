import { basename } from 'node:path';
import { Command } from 'commander';
import { compareMany } from '../../core/present/documents/document-compare.ts';
import { runLimitsOf } from '../../core/analysis/compare/known-good/known-good.ts';
import type { SensorPair } from '../../core/analysis/compare/sensors.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import { sensorsOf } from '../../daemon/prove/sensor-facts.ts';
import { compareAnalysed } from '../../daemon/prove/compare-analysed.ts';
import { testOf, type Analysed } from '../../daemon/prove/gather.ts';
import { writeOverlays } from '../overlay-file.ts';
import type { TraceReader } from '../../daemon/store/samples/reading/trace-reader.ts';
import { analyseOpened, openShown } from '../analyse-file.ts';
import { readNumber, readRange, readTest } from '../arguments.ts';
import { EXIT, InputError, UsageError, type CliIo } from '../io.ts';
import { readKnownGood } from '../known-good-file.ts';
import { presentCompare, presentMany } from '../present-compare.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.compare;

interface Flags extends ReadFlags, JsonFlag {
  test?: TestKind;
  runLimits?: [number, number];
  knownGood?: string;
  circuit?: string;
  limit?: number;
  tolerance?: number;
  overlay?: string;
  sameSensor?: boolean;
  failOn?: string;
}

export function compareCommand(io: CliIo, finish: (code: number) => void): Command {
  const command = new Command('compare')
    .description(words.whatChangedBetweenTwo)
    .argument('<before>', words.aTraceFolderCsv)
    .argument('<after>', 'another')
    .argument('[more...]', words.furtherOnesAllAre)
    .option('--test <kind>', words.actuationOrDrainRecorded, readTest)
    .addOption(jsonOption())
    .option('--run-limits <a:b>', words.theUsualRunningRange, readRange('--run-limits'))
    .option('--known-good <file>', words.limitsLearntByAmptrail)
    .option('--circuit <name>', words.whichCircuitOfThe)
    .option('--limit <a>', words.theDrainLimitA, readNumber('--limit', 0, 1e4))
    .option('--tolerance <share>', words.aChangeBelowThis, readNumber('--tolerance', 0, 1))
    .option('--same-sensor', words.oneSensorRecordedBoth)
    .option('--overlay <file>', words.ofTwoMotorTests)
    .option('--fail-on <what>', words.findingExit3When);
  return addReadOptions(command)
    .addHelpText('after', words.example)
    .action(async (before: string, after: string, more: string[], flags: Flags) => {
      if (flags.failOn !== undefined && flags.failOn !== 'finding') throw new UsageError(words.failOnTakesThe(flags.failOn));
      if (more.length > 0 && flags.tolerance !== undefined) throw new UsageError(words.toleranceIsForTwo);
      if (more.length > 0 && flags.overlay !== undefined) throw new UsageError(words.overlayIsForTwoTraces);
      if (more.length > 0 && flags.sameSensor === true) throw new UsageError(words.sameSensorIsFor);
      const { results, sensors } = await analyseAll([before, after, ...more], flags, io);
      if (results.length > 2) {
        const result = compareMany(results.map((one, i) => ({ name: shortNames([before, after, ...more])[i] ?? '', result: one })));
        printResult(io, flags, result, () => presentMany(result));
        if (flags.failOn === 'finding' && result.verdict.finding === 'one-stands-out') finish(EXIT.found);
        return;
      }
      const result = compareAnalysed(results[0] as AnalysisResult, results[1] as AnalysisResult, {
        ...(flags.tolerance === undefined ? {} : { tolerance: flags.tolerance }),
        ...(flags.sameSensor === true || sensors === null ? {} : { sensors }),
      });
      printResult(io, flags, result, () => presentCompare(result));
      if (flags.failOn === 'finding' && result.verdict.finding === 'worse') finish(EXIT.found);
    });
}

/** Opens all, agrees on one test, analyses each. A plain file beside recorded traces is taken as their test. */
async function analyseAll(paths: readonly string[], flags: Flags, io: CliIo): Promise<{ results: AnalysisResult[]; sensors: SensorPair | null }> {
  const read = readOptions(flags);
  const runLimitsA = flags.runLimits ?? (flags.knownGood === undefined ? null : runLimitsOf(await readKnownGood(flags.knownGood, flags.circuit))) ?? undefined;
  const readers: TraceReader[] = [];
  try {
    for (const path of paths) readers.push(await openShown(path, read, io));
    const known = readers.map((reader) => testOf(reader, flags.test));
    const test = known.find((kind) => kind !== null) ?? undefined;
    const odd = known.findIndex((kind) => kind !== null && kind !== test);
    if (odd >= 0) {
      const first = known.findIndex((kind) => kind === test);
      throw new InputError(words.isATestOf(paths[first]!, String(test), paths[odd]!, String(known[odd])));
    }
    const analysed: Analysed[] = [];
    for (const reader of readers) {
      const one = await analyseOpened(reader, {
        io,
        read,
        ...(test === undefined ? {} : { test }),
        ...(runLimitsA === undefined ? {} : { actuation: { runLimitsA } }),
        ...(flags.limit === undefined ? {} : { drain: { limitA: flags.limit } }),
      });
      analysed.push(one);
    }
    if (flags.overlay !== undefined) await writeOverlays(flags.overlay, analysed);
    return { results: analysed.map(({ result }) => result), sensors: analysed.length === 2 ? sensorsOf(analysed[0]!, analysed[1]!) : null };
  } finally {
    for (const reader of readers) await reader.close();
  }
}

/** Names for tables and sentences: the file's own name, the whole path where two share it. */
function shortNames(paths: readonly string[]): string[] {
  const bases = paths.map((path) => basename(path).replace(/\.(csv|arrows)$/i, ''));
  return bases.map((base, i) => (bases.indexOf(base) === bases.lastIndexOf(base) ? base : (paths[i] ?? base)));
}
