import { Command } from 'commander';
import { measuringTask, sensorAdvice, type MeasuringTask, type SensorAdvice } from '../../core/analysis/uncertainty/sensor-advice.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { jsonOption, printResult, type JsonFlag } from '../result-output.ts';
import { formatCurrent, language } from '../../core/present/language.ts';
import { readNumber } from '../arguments.ts';
import { UsageError, type CliIo } from '../io.ts';
import { textTable } from '../table.ts';

const words = language.cli.commands.sensor;

interface Flags extends JsonFlag {
  for: TestKind;
  current?: number;
  most?: number;
  warming?: number;
}

/** What the table says: it is read by scripts, names do not change. */
const WORDS = { true: 'yes', false: 'no', null: words.cannotTell } as const;

export function sensorCommand(io: CliIo): Command {
  return new Command('sensor')
    .description(words.whichSensorAndRange)
    .requiredOption('--for <test>', words.drainKeyOffOr, readFor)
    .option('--current <a>', words.theCurrentToBe, readNumber('--current', 1e-6, 1e4))
    .option('--most <a>', words.theLargestCurrentThat, readNumber('--most', 1e-6, 1e5))
    .option('--warming <k>', words.howFarItMay, readNumber('--warming', 0, 100))
    .addOption(jsonOption())
    .addHelpText('after', words.example)
    .action((flags: Flags) => {
      const task = measuringTask(flags.for, {
        ...(flags.current === undefined ? {} : { currentA: flags.current }),
        ...(flags.most === undefined ? {} : { mostA: flags.most }),
        ...(flags.warming === undefined ? {} : { temperatureChangeK: flags.warming }),
      });
      const advice = sensorAdvice(task);
      printResult(io, flags, documentOf(task, advice), () => tableOf(task, advice));
    });
}

function readFor(text: string): TestKind {
  if (text === 'actuation' || text === 'drain') return text;
  throw new UsageError(words.forIsActuationOr(text));
}

function documentOf(task: MeasuringTask, advice: readonly SensorAdvice[]): object {
  return {
    test: task.test,
    current_a: task.currentA,
    most_a: task.mostA,
    temperature_change_k: task.temperatureChangeK,
    bandwidth_hz: task.bandwidthHz,
    allowed_a: task.allowedA,
    sensors: advice.map((one) => ({
      name: one.part.name,
      kind: one.part.kind,
      range_a: one.part.rangeA,
      proves: one.proves,
      half_width_a: one.halfWidthA,
      uncertainty: one.parts,
      because: reasonsOf(one, task),
      source: one.part.source,
    })),
  };
}

function reasonsOf(advice: SensorAdvice, task: MeasuringTask): string[] {
  return advice.reasons.map((reason) => language.calibration.advice[reason](advice, task));
}

function tableOf(task: MeasuringTask, advice: readonly SensorAdvice[]): string {
  const rows = advice.map((one) => [one.part.name, one.part.kind, formatCurrent(one.part.rangeA), WORDS[`${one.proves}`], reasonsOf(one, task).join('; '), one.part.source]);
  return textTable(['sensor', 'kind', 'range', words.proves(formatCurrent(task.currentA)), 'because', 'source'], rows);
}
