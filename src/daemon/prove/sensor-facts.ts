import type { SensorFacts, SensorPair } from '../../core/analysis/compare/sensors.ts';
import { recordedUncertainty } from '../../core/analysis/uncertainty/trace-correction.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Analysed } from './gather.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.sensorFacts;

/**
 * Which sensor a trace is from: the logger's serial number, else its name with the port it was at. A plain file of samples says neither.
 * All traces of the virtual vehicle are by the one sensor it has.
 */
export function sensorFacts(record: Pick<TraceRecord, 'logger' | 'simulated' | 'calibration' | 'calibrations'>): SensorFacts {
  const { logger, simulated } = record;
  const { name, serial, source } = logger;
  const atPort = name !== '' && /^(?:serial:|auto$)/.test(source);
  const id = simulated ? 'virtual vehicle' : serial !== null && serial !== '' ? words.serial(serial) : atPort ? words.at(name, source) : null;
  return { id, gainUncertaintyPercent: recordedUncertainty(record).gainUncertaintyPercent ?? null, ...(id === null ? {} : { isVirtual: simulated }) };
}

/** The sensors of two traces, as a comparison takes them. */
export function sensorsOf(before: Analysed, after: Analysed): SensorPair {
  return [sensorFacts(before.reader.record), sensorFacts(after.reader.record)];
}
