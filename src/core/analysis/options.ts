/** What the technician knows about the circuit and typed in. All optional; absent means unknown, and nothing is guessed in its place. */
export interface ActuationOptions {
  /** the usual running range of this circuit, A; without it a trace is never called heavy or light */
  readonly runLimitsA?: readonly [lowA: number, highA: number];
  /** readings past this are flagged, A (magnitude) */
  readonly flagLimitA?: number;
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

export interface DrainOptions {
  /** A; default 0.05, the common limit (common practice, no published source) */
  readonly limitA?: number;
  readonly batteryAh?: number;
  /** reserve capacity, minutes at 25 A: RC/4 in mA is shown beside the limit (one maker's rule, see reference/drain-limits.ts) */
  readonly reserveCapacityMin?: number;
  /** rested open-circuit voltage, V, for a band of the state of charge */
  readonly restedV?: number;
  readonly temperatureC?: number;
  /** what is known of the sensor: 95 % half-widths, from the zero step and the calibration */
  readonly offsetDoubtA?: number;
  readonly gainDoubtPercent?: number;
  /** how far the zero was found to have moved at a second zero step after the test, A, signed */
  readonly zeroDriftA?: number;
  /** changes of range or resolution by the logger, in order (`ranges` of trace.json) */
  readonly ranges?: readonly { readonly atS: number; readonly resolutionA: number | null }[];
}

export const DEFAULT_DRAIN_LIMIT_A = 0.05;
