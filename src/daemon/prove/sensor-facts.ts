import type { SensorFacts, SensorPair } from '../../core/analysis/compare/sensors.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Analysed } from './gather.ts';

/** Half-width of a 95 % interval in standard deviations, as trace.json's figures were made. */
const Z95 = 1.96;

/**
 * Which sensor a trace is from: the logger's serial number, else its name with the port it was at. A plain file of samples says neither.
 * All traces of the virtual vehicle are by the one sensor it has.
 */
export function sensorFacts({ logger, simulated, calibration }: Pick<TraceRecord, 'logger' | 'simulated' | 'calibration'>): SensorFacts {
  const { name, serial, source } = logger;
  const atPort = name !== '' && /^(?:serial:|auto$)/.test(source);
  const id = simulated ? 'virtual vehicle' : serial !== null && serial !== '' ? `serial ${serial}` : atPort ? `${name} at ${source}` : null;
  const percent = calibration.gain_doubt_percent;
  return { id, gainUncertaintyPercent: percent === null ? null : percent / Z95 };
}

/** The sensors of two traces, as a comparison takes them. */
export function sensorsOf(before: Analysed, after: Analysed): SensorPair {
  return [sensorFacts(before.reader.record), sensorFacts(after.reader.record)];
}
