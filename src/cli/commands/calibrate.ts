import { Command } from 'commander';
import { correctionOf, type CalibrationRecord, type Correction } from '../../core/analysis/uncertainty/calibration.ts';
import { dataOption, jsonOption, printResult, type DataFlag, type JsonFlag } from '../result-output.ts';
import { language, significant } from '../../core/present/language.ts';
import { keepCalibration, loggerCalibrations } from '../../daemon/store/records/logger-calibrations.ts';
import { StoreError } from '../../daemon/store/files/store-error.ts';
import { defaultDataFolder } from '../../daemon/store/data-folder.ts';
import { applyCalibration, takeBackCalibration } from '../../daemon/store/records/trace-calibration.ts';
import { dropResult } from '../../daemon/store/records/result-cache.ts';
import { readDuration, readNumber } from '../arguments.ts';
import { calibrationOf, readChannel, readKnown, type CalibrationFlags } from '../calibration-flags.ts';
import { InputError, UsageError, type CliIo } from '../io.ts';
import { textTable } from '../table.ts';

const words = language.cli.commands.calibrate;

export function calibrateCommand(io: CliIo): Command {
  return new Command('calibrate')
    .description(words.zeroAndGainOf)
    .addCommand(addCommand(io))
    .addCommand(showCommand(io))
    .addCommand(applyCommand(io))
    .addCommand(takeBackCommand(io))
    .addHelpText('after', words.example);
}

function addCommand(io: CliIo): Command {
  return new Command('add')
    .description(words.keepACalibrationOf)
    .argument('<logger>', words.itsSerialNumberOr)
    .option('--channel <name>', words.currentOrVoltage, readChannel, 'current')
    .option('--zero <value>', words.whatItReadsWith, readNumber('--zero', -1e5, 1e5))
    .option('--zero-after <value>', words.theSameAfterThe, readNumber('--zero-after', -1e5, 1e5))
    .option('--between <time>', words.timeBetweenTheTwo, readDuration('--between'))
    .option('--scatter <value>', words.standardUncertaintyOfSuch, readNumber('--scatter', 0, 1e5))
    .option('--known <true:read>', words.aKnownCurrentOr, readKnown)
    .option('--tolerance <percent>', words.whatThatReferenceMay, readNumber('--tolerance', 0, 100))
    .option('--shunt <ohm>', words.theResistanceOnThe, readNumber('--shunt', 1e-7, 1e4))
    .option('--reckoned <ohm>', words.theResistanceTheLogger, readNumber('--reckoned', 1e-7, 1e4))
    .option('--class <percent>', words.theClassOfTheShunt, readNumber('--class', 0, 100))
    .option('--part <name>', words.aPartOfThe)
    .option('--by <name>', words.whoDidIt, '')
    .option('--temperature <c>', words.atWhichTemperature, readNumber('--temperature', -60, 90))
    .option('--due <days>', words.toBeDoneAgain, readNumber('--due', 1, 36_500))
    .addOption(dataOption())
    .addOption(jsonOption())
    .addHelpText('after', words.exampleAmptrailCalibrateAdd0042)
    .action(async (logger: string, flags: CalibrationFlags & DataFlag & JsonFlag) => {
      if (logger.trim() === '') throw new UsageError(words.theLoggerNeedsAName);
      const record = calibrationOf(flags, new Date());
      const correction = correctionOf(record);
      if (typeof correction === 'string') throw new UsageError(words.thisCalibrationCannotBeUsed(language.calibration.faults[correction]));
      await keepCalibration(flags.data ?? defaultDataFolder(), logger, record);
      if (zeroWasRead(record) && correction.zeroUncertainty === null) io.err(words.howWellTheZero);
      printResult(io, flags, { logger, calibration: record, correction: documentOf(correction) }, () => tableOf([record]));
    });
}

function zeroWasRead({ zero_before: before, zero_after: after, points }: CalibrationRecord): boolean {
  return before !== null || after !== null || points.length > 1;
}

function showCommand(io: CliIo): Command {
  return new Command('show')
    .description(words.theCalibrationsOfA)
    .argument('<logger>', words.itsSerialNumberName)
    .addOption(dataOption())
    .addOption(jsonOption())
    .addHelpText('after', words.example2)
    .action(async (logger: string, flags: DataFlag & JsonFlag) => {
      const calibrations = await loggerCalibrations(flags.data ?? defaultDataFolder(), logger);
      if (calibrations.length === 0) io.err(words.noCalibrationOfIs(logger));
      printResult(io, flags, { logger, calibrations }, () => tableOf(calibrations));
    });
}

function applyCommand(io: CliIo): Command {
  return new Command('apply')
    .description(words.correctRecordedTracesOld)
    .argument('<trace...>', words.foldersOfTraces)
    .option('--logger <name>', words.whoseCalibrationWhereThe)
    .addOption(dataOption())
    .addHelpText('after', words.exampleAmptrailCalibrateApplyJobs)
    .action(async (traces: string[], flags: DataFlag & { logger?: string }) => {
      for (const trace of traces) await applyTo(trace, flags, io);
    });
}

async function applyTo(trace: string, flags: DataFlag & { logger?: string }, io: CliIo): Promise<void> {
  const { record, whose, calibrations } = await applyCalibration(trace, flags.data ?? defaultDataFolder(), flags.logger).catch((error: unknown) => {
    if (error instanceof StoreError && error.code === 'not-found') throw new InputError(words.makeOneWithAmptrail(error.message));
    throw error;
  });
  await dropResult(trace);
  for (const one of calibrations) {
    const late = one.due !== null && record.start > one.due;
    io.out(words.correctedByTheCalibration(trace, one.channel, whose, one.at.slice(0, 10), one.channel === 'current' && record.calibration.zero_a !== null ? words.itsOwnZeroKept : ''));
    if (late) io.err(words.thatCalibrationWasDue(trace, (one.due ?? '').slice(0, 10)));
  }
}

function takeBackCommand(io: CliIo): Command {
  return new Command('take-back')
    .description(words.readTracesAsThey)
    .argument('<trace...>', words.foldersOfTraces)
    .option('--channel <name>', words.currentOrVoltageDefaultBoth, readChannel)
    .addHelpText('after', words.exampleAmptrailCalibrateTakeBack)
    .action(async (traces: string[], flags: { channel?: CalibrationRecord['channel'] }) => {
      for (const trace of traces) {
        const { taken } = await takeBackCalibration(trace, new Date(), flags.channel);
        await dropResult(trace);
        io.out(`${trace}: ${taken === 0 ? words.noCalibrationWasApplied : words.takenBack(taken === 1 ? words.oneCalibration : words.calibrations(taken))}\n`);
      }
    });
}

function documentOf({ zero, gain, zeroUncertainty, gainUncertaintyPercent, zeroDriftPerHour, zeroTemperature }: Correction): object {
  return { zero, gain, zero_uncertainty: zeroUncertainty, gain_uncertainty_percent: gainUncertaintyPercent, zero_drift_per_hour: zeroDriftPerHour, zero_temperature: zeroTemperature };
}

function tableOf(records: readonly CalibrationRecord[]): string {
  const known = (value: number | null): string => (value === null ? words.notKnown : significant(value, 2));
  const rows = records.map((record) => {
    const correction = correctionOf(record);
    const cells = typeof correction === 'string' ? [language.calibration.faults[correction]] : [significant(correction.zero, 3), known(correction.zeroUncertainty), significant(correction.gain, 5), known(correction.gainUncertaintyPercent)];
    return [record.at.slice(0, 10), record.by, record.channel, ...cells, record.due === null ? '' : record.due.slice(0, 10)];
  });
  return textTable(['date', 'by', 'channel', 'zero', 'u(zero)', 'gain', words.uGain, 'due'], rows);
}
