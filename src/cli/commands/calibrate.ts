import { Command } from 'commander';
import { correctionOf, type CalibrationRecord, type Correction } from '../../core/analysis/uncertainty/calibration.ts';
import { en } from '../../core/present/en/index.ts';
import { significant } from '../../core/units.ts';
import { keepCalibration, loggerCalibrations } from '../../daemon/store/records/logger-calibrations.ts';
import { StoreError } from '../../daemon/store/files/store-error.ts';
import { defaultDataFolder } from '../../daemon/store/store.ts';
import { applyCalibration, takeBackCalibration } from '../../daemon/store/records/trace-calibration.ts';
import { dropResult } from '../../daemon/store/records/result-cache.ts';
import { readDuration, readNumber } from '../arguments.ts';
import { calibrationOf, readChannel, readKnown, type CalibrationFlags } from '../calibration-flags.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { textTable } from '../table.ts';

interface DataFlags {
  data?: string;
}

export function calibrateCommand(io: CliIo): Command {
  return new Command('calibrate')
    .description('zero and gain of a logger, with what they are known by; traces are corrected when read and stay as recorded')
    .addCommand(addCommand(io))
    .addCommand(showCommand(io))
    .addCommand(applyCommand(io))
    .addCommand(takeBackCommand(io))
    .addHelpText('after', '\nExample:\n  amptrail calibrate add 0042 --zero 0.03 --known 5:4.88 --tolerance 0.8\n  amptrail calibrate apply jobs/minibus/step-left\n');
}

function addCommand(io: CliIo): Command {
  return new Command('add')
    .description('keep a calibration of a logger in the data folder')
    .argument('<logger>', 'its serial number, or its name, or its port (serial:PATH), as the traces have it')
    .option('--channel <name>', 'current or voltage', readChannel, 'current')
    .option('--zero <value>', 'what it reads with nothing applied, A or V', readNumber('--zero', -1e5, 1e5))
    .option('--zero-after <value>', 'the same after the test: the difference enters the uncertainty', readNumber('--zero-after', -1e5, 1e5))
    .option('--between <time>', 'time between the two zeros, for the drift', readDuration('--between'))
    .option('--scatter <value>', 'standard uncertainty of such a reading', readNumber('--scatter', 0, 1e5))
    .option('--known <true:read>', 'a known current or voltage and what the logger read, once or twice: 5:4.85', readKnown)
    .option('--tolerance <percent>', 'what that reference may be off by', readNumber('--tolerance', 0, 100))
    .option('--shunt <ohm>', 'the resistance on the plate of the shunt', readNumber('--shunt', 1e-7, 1e4))
    .option('--reckoned <ohm>', 'the resistance the logger reckons with, where it is another one', readNumber('--reckoned', 1e-7, 1e4))
    .option('--class <percent>', 'the class of the shunt', readNumber('--class', 0, 100))
    .option('--part <name>', 'a part of the table of sensors (amptrail sensor), for its data sheet\'s tolerance')
    .option('--by <name>', 'who did it', '')
    .option('--temperature <c>', 'at which temperature', readNumber('--temperature', -60, 90))
    .option('--due <days>', 'to be done again after so many days', readNumber('--due', 1, 36_500))
    .option('--data <dir>', 'the data folder')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExample:\n  amptrail calibrate add 0042 --zero 0.03 --known 5:4.88 --tolerance 0.8 --by "R. Vane" --due 365\n')
    .action(async (logger: string, flags: CalibrationFlags & DataFlags & { json?: boolean }) => {
      const record = calibrationOf(flags, new Date());
      const correction = correctionOf(record);
      if (typeof correction === 'string') throw new UsageError(`this calibration cannot be used: ${en.calibration.faults[correction]}`);
      await keepCalibration(flags.data ?? defaultDataFolder(), logger, record);
      io.out(flags.json === true ? `${JSON.stringify({ logger, calibration: record, correction: documentOf(correction) })}\n` : tableOf([record]));
    });
}

function showCommand(io: CliIo): Command {
  return new Command('show')
    .description('the calibrations of a logger, oldest first')
    .argument('<logger>', 'its serial number, name or port')
    .option('--data <dir>', 'the data folder')
    .option('--json', 'one JSON document')
    .addHelpText('after', '\nExample:\n  amptrail calibrate show 0042\n')
    .action(async (logger: string, flags: DataFlags & { json?: boolean }) => {
      const calibrations = await loggerCalibrations(flags.data ?? defaultDataFolder(), logger);
      if (calibrations.length === 0) io.err(`no calibration of ${logger} is kept in this data folder\n`);
      io.out(flags.json === true ? `${JSON.stringify({ logger, calibrations })}\n` : tableOf(calibrations));
    });
}

function applyCommand(io: CliIo): Command {
  return new Command('apply')
    .description('correct recorded traces, old ones too, by the latest calibration of their logger; their samples are not changed')
    .argument('<trace...>', 'folders of traces')
    .option('--logger <name>', 'whose calibration, where the traces do not say')
    .option('--data <dir>', 'the data folder')
    .addHelpText('after', '\nExample:\n  amptrail calibrate apply jobs/minibus/step-left\n')
    .action(async (traces: string[], flags: DataFlags & { logger?: string }) => {
      for (const trace of traces) await applyTo(trace, flags, io);
    });
}

async function applyTo(trace: string, flags: DataFlags & { logger?: string }, io: CliIo): Promise<void> {
  const { record, whose, calibrations } = await applyCalibration(trace, flags.data ?? defaultDataFolder(), flags.logger).catch((error: unknown) => {
    if (error instanceof StoreError && error.code === 'not-found') throw new InputError(`${error.message} Make one with amptrail calibrate add, or name the logger with --logger`);
    throw error;
  });
  await dropResult(trace);
  for (const one of calibrations) {
    const late = one.due !== null && record.start > one.due;
    io.out(`${trace}: ${one.channel} corrected by the calibration of ${whose} on ${one.at.slice(0, 10)}${one.channel === 'current' && record.calibration.zero_a !== null ? ', its own zero kept' : ''}\n`);
    if (late) io.err(`${trace}: that calibration was due again on ${(one.due ?? '').slice(0, 10)}, before the trace was recorded\n`);
  }
}

function takeBackCommand(io: CliIo): Command {
  return new Command('take-back')
    .description('read traces as they were before the last calibration was applied')
    .argument('<trace...>', 'folders of traces')
    .option('--channel <name>', 'current or voltage (default: both)', readChannel)
    .addHelpText('after', '\nExample:\n  amptrail calibrate take-back jobs/minibus/step-left\n')
    .action(async (traces: string[], flags: { channel?: CalibrationRecord['channel'] }) => {
      for (const trace of traces) {
        const { taken } = await takeBackCalibration(trace, new Date(), flags.channel);
        await dropResult(trace);
        io.out(`${trace}: ${taken === 0 ? 'no calibration was applied' : `${taken === 1 ? 'one calibration' : `${taken} calibrations`} taken back`}\n`);
      }
    });
}

function documentOf({ zero, gain, zeroUncertainty, gainUncertaintyPercent, zeroDriftPerHour, zeroTemperature }: Correction): object {
  return { zero, gain, zero_uncertainty: zeroUncertainty, gain_uncertainty_percent: gainUncertaintyPercent, zero_drift_per_hour: zeroDriftPerHour, zero_temperature: zeroTemperature };
}

function tableOf(records: readonly CalibrationRecord[]): string {
  const known = (value: number | null): string => (value === null ? 'not known' : significant(value, 2));
  const rows = records.map((record) => {
    const correction = correctionOf(record);
    const cells = typeof correction === 'string' ? [en.calibration.faults[correction]] : [significant(correction.zero, 3), known(correction.zeroUncertainty), significant(correction.gain, 5), known(correction.gainUncertaintyPercent)];
    return [record.at.slice(0, 10), record.by, record.channel, ...cells, record.due === null ? '' : record.due.slice(0, 10)];
  });
  return textTable(['date', 'by', 'channel', 'zero', 'u(zero)', 'gain', 'u(gain) %', 'due'], rows);
}
