import { Command } from 'commander';
import { measuringTask, sensorAdvice, type MeasuringTask, type SensorAdvice } from '../../core/analysis/uncertainty/sensor-advice.ts';
import type { TestKind } from '../../core/analysis/results.ts';
import { en } from '../../core/present/en/index.ts';
import { formatCurrent } from '../../core/units.ts';
import { readNumber } from '../arguments.ts';
import { UsageError, type CliIo } from '../io.ts';
import { textTable } from '../table.ts';

interface Flags {
  for: TestKind;
  current?: number;
  most?: number;
  warming?: number;
  json?: boolean;
}

/** What the table says: it is read by scripts, names do not change. */
const WORDS = { true: 'yes', false: 'no', null: 'cannot tell' } as const;

export function sensorCommand(io: CliIo): Command {
  return new Command('sensor')
    .description('which sensor and range can prove what is to be measured, and which cannot, from their data sheets')
    .requiredOption('--for <test>', 'drain (key off) or actuation (a motor)', readFor)
    .option('--current <a>', 'the current to be proved, A (default: the drain limit 0.05, or 5 for a motor)', readNumber('--current', 1e-6, 1e4))
    .option('--most <a>', 'the largest current that may flow meanwhile, A (default: 10, or five times a motor\'s current)', readNumber('--most', 1e-6, 1e5))
    .option('--warming <k>', 'how far it may get warmer or colder since its zero was set, degrees (default: 10 for a night, 2 for a motor)', readNumber('--warming', 0, 100))
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExample:\n  amptrail sensor --for drain --current 0.025\n')
    .action((flags: Flags) => {
      const task = measuringTask(flags.for, {
        ...(flags.current === undefined ? {} : { currentA: flags.current }),
        ...(flags.most === undefined ? {} : { mostA: flags.most }),
        ...(flags.warming === undefined ? {} : { temperatureChangeK: flags.warming }),
      });
      const advice = sensorAdvice(task);
      io.out(flags.json === true ? `${JSON.stringify(documentOf(task, advice))}\n` : tableOf(task, advice));
    });
}

function readFor(text: string): TestKind {
  if (text === 'actuation' || text === 'drain') return text;
  throw new UsageError(`--for is actuation or drain, not "${text}"`);
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
  return advice.reasons.map((reason) => en.calibration.advice[reason](advice, task));
}

function tableOf(task: MeasuringTask, advice: readonly SensorAdvice[]): string {
  const rows = advice.map((one) => [one.part.name, one.part.kind, formatCurrent(one.part.rangeA), WORDS[`${one.proves}`], reasonsOf(one, task).join('; '), one.part.source]);
  return textTable(['sensor', 'kind', 'range', `proves ${formatCurrent(task.currentA)}`, 'because', 'source'], rows);
}
