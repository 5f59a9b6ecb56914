import { readFile } from 'node:fs/promises';
import { Command } from 'commander';
import type { SensorUncertainty } from '../../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import { placeAgainst, runLimitsOf } from '../../core/analysis/compare/known-good/known-good.ts';
import { readMarksCsv } from '../../core/tracefile/marks.ts';
import { ripplesPerRevolution } from '../../core/reference/motor.ts';
import { awgAreaMm2 } from '../../core/reference/wire.ts';
import type { Mark } from '../../core/trace.ts';
import { analyseFile } from '../analyse-file.ts';
import { readDuration, readInteger, readNumber, readRange, readTest, readWire } from '../arguments.ts';
import { EXIT, InputError, UsageError, type CliIo } from '../io.ts';
import { readKnownGood } from '../known-good-file.ts';
import { presentPlacements } from '../present-known-good.ts';
import { presentActuation } from '../present-actuation.ts';
import { presentDrain } from '../present-drain.ts';
import { addReadOptions, readOptions, type ReadFlags } from '../read-options.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { language } from '../../core/present/language.ts';

const words = language.cli.commands.analyse;

interface Flags extends ReadFlags, JsonFlag {
  test?: TestKind;
  marks?: string;
  runLimits?: [number, number];
  knownGood?: string;
  circuit?: string;
  limit?: number;
  limitHold?: number;
  batteryAh?: number;
  reserveCapacity?: number;
  restedVolts?: number;
  temperature?: number;
  settle?: number;
  commutations?: number;
  brushes?: number;
  segments?: number;
  bandwidth?: number;
  zeroDoubt?: number;
  gainDoubt?: number;
  driftPerHour?: number;
  fuse?: number;
  wire?: string;
  fullScale?: number;
  from?: number;
  to?: number;
  failOn?: string;
}

export function analyseCommand(io: CliIo, finish: (code: number) => void): Command {
  const command = new Command('analyse')
    .description(words.whatTheTraceShows)
    .argument('<trace>', words.aTraceFolderCsv)
    .option('--test <kind>', words.actuationAMotorSwitch, readTest)
    .addOption(jsonOption())
    .option('--marks <file>', words.marksAsCsvTime)
    .option('--run-limits <a:b>', words.theUsualRunningRange, readRange('--run-limits'))
    .option('--known-good <file>', words.limitsLearntByAmptrail)
    .option('--circuit <name>', words.whichCircuitOfThe)
    .option('--limit <a>', words.aTheDrainLimit, readNumber('--limit', 0, 1e4))
    .option('--limit-hold <time>', words.forAMotorFlag, readDuration('--limit-hold'))
    .option('--battery-ah <ah>', words.capacityOfTheBatteryAh, readNumber('--battery-ah', 0.1, 1e4))
    .option('--reserve-capacity <min>', words.reserveCapacityOfThe, readNumber('--reserve-capacity', 1, 1e4))
    .option('--rested-volts <v>', words.voltageOfTheRested, readNumber('--rested-volts', 0, 60))
    .option('--temperature <c>', words.ofTheBatteryDegreesCelsius, readNumber('--temperature', -60, 90))
    .option('--settle <time>', words.howLongTheMaker, readDuration('--settle'))
    .option('--commutations <n>', words.ripplesPerRevolutionLeast, readInteger('--commutations', 1, 1000))
    .option('--brushes <n>', words.brushesOfTheMotor, readInteger('--brushes', 2, 24))
    .option('--segments <n>', words.segmentsOfItsCommutator, readInteger('--segments', 3, 500))
    .option('--fuse <a>', words.ratingOfTheCircuits, readNumber('--fuse', 0.5, 500))
    .option('--wire <size:m[:c]>', words.theFeed15mm2)
    .option('--full-scale <a>', words.fullScaleOfThe, readNumber('--full-scale', 1e-3, 1e5))
    .option('--bandwidth <hz>', words.bandwidthOfTheSensor, readNumber('--bandwidth', 0.1, 1e7))
    .option('--zero-doubt <a>', words.standardUncertaintyK1, readNumber('--zero-doubt', 0, 1e4))
    .option('--gain-doubt <percent>', words.standardUncertaintyOfIts, readNumber('--gain-doubt', 0, 100))
    .option('--drift-per-hour <a>', words.standardUncertaintyOfItsZero, readNumber('--drift-per-hour', 0, 1e4))
    .option('--from <s>', words.analyseFromThisTime, readNumber('--from', -1e12, 1e12))
    .option('--to <s>', words.analyseUpToThis, readNumber('--to', -1e12, 1e12))
    .option('--fail-on <what>', words.findingExit3Unless);
  return addReadOptions(command)
    .addHelpText('after', words.example)
    .action(async (path: string, flags: Flags) => {
      if (flags.failOn !== undefined && flags.failOn !== 'finding') throw new UsageError(words.failOnTakesThe(flags.failOn));
      if (flags.from !== undefined && flags.to !== undefined && !(flags.from < flags.to)) throw new UsageError(words.fromMustBeBeforeTo);
      const known = flags.knownGood === undefined ? null : await readKnownGood(flags.knownGood, flags.circuit);
      if (known === null && flags.circuit !== undefined) throw new UsageError(words.circuitGoesWith);
      const drainLimitA = flags.limit ?? known?.usual?.asleep_a?.[1];
      const runLimitsA = flags.runLimits ?? (known === null ? null : runLimitsOf(known)) ?? undefined;
      const commutations = commutationsOf(flags);
      const wire = flags.wire === undefined ? undefined : readWire(flags.wire, awgAreaMm2);
      const sensor = sensorUncertainty(flags);
      const result = await analyseFile(path, {
        io,
        read: readOptions(flags),
        ...(flags.test === undefined ? {} : { test: flags.test }),
        ...(flags.marks === undefined ? {} : { marks: await readMarks(flags.marks) }),
        ...(flags.from === undefined ? {} : { fromS: flags.from }),
        ...(flags.to === undefined ? {} : { toS: flags.to }),
        actuation: {
          ...sensor,
          ...(runLimitsA === undefined ? {} : { runLimitsA, runLimitsFrom: flags.runLimits === undefined ? ('known-good' as const) : ('limits' as const) }),
          ...(flags.limit === undefined ? {} : { flagLimitA: flags.limit }),
          ...(flags.limitHold === undefined ? {} : { flagHoldS: flags.limitHold }),
          ...(commutations === undefined ? {} : { commutationsPerRevolution: commutations }),
          ...(flags.fuse === undefined ? {} : { fuseRatingA: flags.fuse }),
          ...(wire === undefined ? {} : { wire }),
          ...(flags.fullScale === undefined ? {} : { fullScaleA: flags.fullScale }),
          ...(flags.bandwidth === undefined ? {} : { sensorBandwidthHz: flags.bandwidth }),
        },
        drain: {
          ...sensor,
          ...(drainLimitA === undefined ? {} : { limitA: drainLimitA }),
          ...(flags.batteryAh === undefined ? {} : { batteryAh: flags.batteryAh }),
          ...(flags.reserveCapacity === undefined ? {} : { reserveCapacityMin: flags.reserveCapacity }),
          ...(flags.restedVolts === undefined ? {} : { restedV: flags.restedVolts }),
          ...(flags.settle === undefined ? {} : { settlingS: flags.settle }),
          ...(flags.temperature === undefined ? {} : { temperatureC: flags.temperature }),
        },
      });
      const places = known === null || result.test !== 'actuation' ? null : placeAgainst(known, result);
      printResult(io, flags, places === null ? result : { ...result, known_good: places }, () => (result.test === 'actuation' ? presentActuation(result) : presentDrain(result)) + (places === null ? '' : presentPlacements(places)));
      if (flags.failOn === 'finding' && hasFinding(result)) finish(EXIT.found);
    });
}

/** What the call says of the sensor; it goes before the logger's own record. */
function sensorUncertainty({ zeroDoubt, gainDoubt, driftPerHour }: Flags): SensorUncertainty {
  return {
    ...(zeroDoubt === undefined ? {} : { zeroUncertaintyA: zeroDoubt }),
    ...(gainDoubt === undefined ? {} : { gainUncertaintyPercent: gainDoubt }),
    ...(driftPerHour === undefined ? {} : { zeroDriftAPerHour: driftPerHour }),
  };
}

/** Ripples per revolution, typed in or from brushes and segments. */
function commutationsOf({ commutations, brushes, segments }: Flags): number | undefined {
  if ((brushes === undefined) !== (segments === undefined)) throw new UsageError(words.brushesAndSegmentsGoTogether);
  if (brushes === undefined || segments === undefined) return commutations;
  if (commutations !== undefined) throw new UsageError(words.giveCommutationsOrBrushes);
  return ripplesPerRevolution(brushes, segments);
}

/** "Cannot tell" counts as a finding here: a script that wants proof that all is well has none. */
function hasFinding(result: AnalysisResult): boolean {
  if (result.test === 'actuation') return result.verdict.finding !== 'normal' || result.flags.length > 0;
  return result.verdict.finding !== 'asleep' || result.over_limit === true;
}

async function readMarks(path: string): Promise<Mark[]> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new InputError(words.theMarksFileCannot(path, (error as NodeJS.ErrnoException).code ?? 'error'));
  }
  const { marks, problems } = readMarksCsv(text);
  const first = problems[0];
  if (first !== undefined) throw new InputError(`${path}: ${first.text}`);
  return [...marks];
}
