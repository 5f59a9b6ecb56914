/**
 * What is known of the sensor, as standard uncertainties (k = 1, JCGM 100:2008): typed in, or kept in the logger's record of its
 * calibration. Absent means not known. They do not average out over a recording, so every level carries them.
 */
export interface SensorUncertainty {
  /** of the zero at its last setting, A */
  readonly zeroUncertaintyA?: number;
  /** of the scale, percent of the reading */
  readonly gainUncertaintyPercent?: number;
  /** how far the zero moves in an hour, A */
  readonly zeroDriftAPerHour?: number;
  /** of the zero, for how much warmer or colder it is than when it was set, A */
  readonly zeroTemperatureA?: number;
  /** of the volts' scale, percent of the reading */
  readonly voltageGainPercent?: number;
}

/** What the technician knows about the circuit and typed in. All optional; absent means unknown, and nothing is guessed in its place. */
export interface ActuationOptions extends SensorUncertainty {
  /** the usual running range of this circuit, A; without it a trace is never called heavy or light */
  readonly runLimitsA?: readonly [lowA: number, highA: number];
  /** where they come from, which the verdict says; typed in unless this says otherwise */
  readonly runLimitsFrom?: 'limits' | 'known-good';
  /** limit whose crossings are listed, A (magnitude) */
  readonly flagLimitA?: number;
  /** only where they stay past it for longer than this, s, so that a healthy inrush is none; absent: at once */
  readonly flagHoldS?: number;
  /** commutation ripples per revolution: least common multiple of brushes and commutator segments */
  readonly commutationsPerRevolution?: number;
  /** rating of the circuit's blade fuse, A */
  readonly fuseRatingA?: number;
  /** the feed's wire, for the share of the voltage drop it explains */
  readonly wire?: { readonly areaMm2: number; readonly lengthM: number; readonly temperatureC: number };
  /** full scale of the sensor, A; readings there are clipped */
  readonly fullScaleA?: number;
  /** -3 dB bandwidth of the sensor, Hz, from its datasheet or calibration; without it the fall at the switch-off tells how slow it may be */
  readonly sensorBandwidthHz?: number;
}

export interface DrainOptions extends SensorUncertainty {
  /** A; default 0.05, the common limit (common practice, no published source) */
  readonly limitA?: number;
  readonly batteryAh?: number;
  /** reserve capacity, minutes at 25 A: RC/4 in mA is shown beside the limit (one maker's rule, see reference/drain-limits.ts) */
  readonly reserveCapacityMin?: number;
  /** rested open-circuit voltage, V, for a band of the state of charge */
  readonly restedV?: number;
  readonly temperatureC?: number;
  /** how long the maker of this vehicle says to wait before it is measured, s; without it the published time-outs count, 75 min at the longest */
  readonly settlingS?: number;
  /** how far the zero was found to have moved at a second zero step after the test, A, signed */
  readonly zeroDriftA?: number;
  /** the clock at time 0 of the recording, ms since 1970 UTC, so that a wait can be given as a time of day */
  readonly startedAtMs?: number;
  /** changes of range or resolution by the logger, in order (`ranges` of trace.json) */
  readonly ranges?: readonly { readonly atS: number; readonly resolutionA: number | null }[];
}

export const DEFAULT_DRAIN_LIMIT_A = 0.05;
