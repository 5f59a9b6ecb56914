/**
 * Common parts that sense current, as their makers' datasheets give them. Limits are the datasheet's "max" or its +- figure at 25 °C;
 * `null`: the datasheet page that was read does not say. Sources: SOURCES.md.
 */
export interface SensorPart {
  /** lower-case words with dashes: what a person types */
  readonly name: string;
  readonly kind: 'hall' | 'fluxgate' | 'shunt';
  /** A, both directions */
  readonly rangeA: number;
  /** limit of the scale's error, percent of the reading */
  readonly gainLimitPercent: number;
  /** limit of the reading without current before any zero step, A */
  readonly zeroLimitA: number | null;
  /** how far the zero moves with temperature, A a degree */
  readonly zeroDriftAPerK: number | null;
  /** what the zero may keep after a large current (remanence), A */
  readonly remanenceA: number | null;
  /** peak to peak, A, in `noiseBandwidthHz` */
  readonly noisePeakToPeakA: number | null;
  readonly noiseBandwidthHz: number | null;
  /** one step of the converter, A; null for a part with an analogue output */
  readonly stepA: number | null;
  /** -3 dB, or half the fastest reading rate for a part that converts by itself */
  readonly bandwidthHz: number | null;
  readonly source: string;
}

const ACS712 = 'Allegro ACS712 data sheet, p. 5';
const HAIS = 'LEM HAIS 50..400-P data sheet';
const HASS = 'LEM HAS 50..600-S data sheet';
const MONITOR = 'TI INA226 data sheet (SBOS547B), with a Riedon shunt of 0.25 %';

/** INA226: offset 2.5 uV typically, 10 uV and 0.1 uV a degree at most, gain 0.1 % at most, 2.5 uV a step, +-81.92 mV, 140 us a conversion (SBOS547B). */
const MONITOR_V = { typicalOffset: 2.5e-6, offset: 10e-6, driftPerK: 0.1e-6, step: 2.5e-6, range: 81.92e-3 };
const MONITOR_GAIN_PERCENT = 0.1;
const MONITOR_CONVERSION_S = 140e-6;
/** Riedon's standard tolerance of a shunt, percent; and the share of its rating it may carry for long. */
const SHUNT_PERCENT = 0.25;
const SHUNT_CONTINUOUS = 2 / 3;

/** A monitor across a base-mounted shunt that gives `ratedV` at `ratedA`. */
function monitored(name: string, ratedV: number, ratedA: number): SensorPart {
  const ohm = ratedV / ratedA;
  return {
    name,
    kind: 'shunt',
    rangeA: Math.min(MONITOR_V.range / ohm, ratedA * SHUNT_CONTINUOUS),
    gainLimitPercent: MONITOR_GAIN_PERCENT + SHUNT_PERCENT,
    zeroLimitA: MONITOR_V.offset / ohm,
    zeroDriftAPerK: MONITOR_V.driftPerK / ohm,
    remanenceA: 0,
    noisePeakToPeakA: null,
    noiseBandwidthHz: null,
    stepA: MONITOR_V.step / ohm,
    bandwidthHz: 1 / (2 * MONITOR_CONVERSION_S),
    source: MONITOR,
  };
}

/** The zero of a Hall sensor moves by so much a degree, A (5 A type: 0.26 mV at 185 mV/A). */
export const HALL_ZERO_A_PER_K = 0.26 / 185;

/** LEM HAIS: 0.625 V at nominal current; 25 mV zero, 0.2 mV a degree (output against its reference), 15 mV peak to peak to 10 kHz, 0.5 % (HAIS 50) or 0.4 % after an overload; 1 %, 50 kHz. */
function hais(nominalA: number, remanencePercent: number): SensorPart {
  const perV = nominalA / 0.625;
  return {
    name: `hais-${nominalA}`, kind: 'hall', rangeA: 3 * nominalA, gainLimitPercent: 1, zeroLimitA: 0.025 * perV, zeroDriftAPerK: 0.2e-3 * perV,
    remanenceA: (remanencePercent * nominalA) / 100, noisePeakToPeakA: 0.015 * perV, noiseBandwidthHz: 10_000, stepA: null, bandwidthHz: 50_000, source: HAIS,
  };
}

export const SENSOR_PARTS: readonly SensorPart[] = [
  // sensitivity 180 to 190 about 185 mV/A; zero -0.26 mV a degree below 25 °C; 21 mV peak to peak in 2 kHz
  {
    name: 'acs712-5', kind: 'hall', rangeA: 5, gainLimitPercent: (100 * 5) / 185, zeroLimitA: null, zeroDriftAPerK: HALL_ZERO_A_PER_K,
    remanenceA: null, noisePeakToPeakA: 21 / 185, noiseBandwidthHz: 2000, stepA: null, bandwidthHz: 2000, source: ACS712,
  },
  // 96 to 104 about 100 mV/A; -0.34 mV a degree; 11 mV peak to peak in 2 kHz
  {
    name: 'acs712-20', kind: 'hall', rangeA: 20, gainLimitPercent: 4, zeroLimitA: null, zeroDriftAPerK: 0.34 / 100,
    remanenceA: null, noisePeakToPeakA: 11 / 100, noiseBandwidthHz: 2000, stepA: null, bandwidthHz: 2000, source: ACS712,
  },
  hais(50, 0.5),
  hais(100, 0.4),
  // 4 V at 50 A; 1 % without offset; 20 mV zero, 2 mV a degree, 20 mV after an excursion to nominal; 50 kHz; no noise given
  {
    name: 'has-50', kind: 'hall', rangeA: 150, gainLimitPercent: 1, zeroLimitA: (0.02 * 50) / 4, zeroDriftAPerK: (0.002 * 50) / 4,
    remanenceA: (0.02 * 50) / 4, noisePeakToPeakA: null, noiseBandwidthHz: null, stepA: null, bandwidthHz: 50_000, source: HASS,
  },
  // zero, drift and bandwidth are in the data sheet, of which only the outline was seen
  {
    name: 'casr-15', kind: 'fluxgate', rangeA: 51, gainLimitPercent: 0.8, zeroLimitA: null, zeroDriftAPerK: null,
    remanenceA: null, noisePeakToPeakA: null, noiseBandwidthHz: null, stepA: null, bandwidthHz: null, source: 'LEM CASR 15-NP, outline',
  },
  monitored('shunt-75mv-5a', 0.075, 5),
  monitored('shunt-75mv-50a', 0.075, 50),
  monitored('shunt-75mv-100a', 0.075, 100),
];

export function sensorPart(name: string): SensorPart | null {
  return SENSOR_PARTS.find((part) => part.name === name) ?? null;
}

/** Rating and output of the largest shunt in the table. */
const LARGEST_SHUNT = { ratedV: 0.075, ratedA: 100 };

/**
 * Standard uncertainty of a zero of which nothing is known, A: the monitor's typical offset across the largest shunt of the table. The typical
 * value of a figure that is zero on average is one standard deviation (TI OPA992 data sheet, typical specifications and distributions).
 */
export const UNKNOWN_ZERO_A = (MONITOR_V.typicalOffset * LARGEST_SHUNT.ratedA) / LARGEST_SHUNT.ratedV;

/** Scale of a sensor of which nothing is known: the widest limit in the table, percent of the reading. */
export const UNKNOWN_GAIN_LIMIT_PERCENT = Math.max(...SENSOR_PARTS.map(({ gainLimitPercent }) => gainLimitPercent));
