/** Brushed DC motor: the textbook relations that a trace is read with. SI units; torque constant = speed constant. */

/** Winding of a standing motor as its terminals show it, ohm: nothing turns, so nothing but resistance opposes the volts. */
export function standingOhm(volts: number, stallA: number): number {
  return volts / stallA;
}

/**
 * Ripples of the current per revolution: least common multiple of brushes and commutator segments ("Commutation ripples per revolution =
 * LCM(brushes, commutator_segments)", public transcription of the TI DRV821x ripple counter's driver).
 */
export function ripplesPerRevolution(brushes: number, segments: number): number {
  let a = brushes;
  let b = segments;
  while (b !== 0) [a, b] = [b, a % b];
  return (brushes / a) * segments;
}

/** What governs the current of a brushed motor from the switch-on to the run. */
export interface SwitchOn {
  /** volts over ohms: what would flow if it never turned, A */
  readonly standstillA: number;
  /** what flows once it runs, A; the load's torque as a current */
  readonly runA: number;
  /** L/R, s */
  readonly electricalS: number;
  /** R J/k², s */
  readonly mechanicalS: number;
}

/**
 * Current of a motor switched on at rest under a constant load, A, by the poles of s² + s/te + 1/(te tm) = 0: it starts at zero with the
 * slope V/L and ends at the run. Below tm = 4 te the poles are a pair that swings.
 */
export function switchOnCurve(motor: SwitchOn): (atS: number) => number {
  const { runA, standstillA, electricalS } = motor;
  const half = 1 / (2 * electricalS);
  const square = half * half - 1 / (electricalS * motor.mechanicalS);
  const rate = Math.sqrt(Math.abs(square));
  const slope = standstillA / electricalS - half * runA;
  const share = rate > 0 ? slope / rate : 0;
  return (atS) => {
    if (atS <= 0) return 0;
    if (rate * atS < 1e-6) return runA + Math.exp(-half * atS) * (slope * atS - runA);
    if (square < 0) return runA + Math.exp(-half * atS) * (share * Math.sin(rate * atS) - runA * Math.cos(rate * atS));
    // two falling exponentials, written so that neither overflows
    return runA + 0.5 * ((share - runA) * Math.exp((rate - half) * atS) - (share + runA) * Math.exp((-rate - half) * atS));
  };
}

interface SwitchOnPeak {
  readonly peakA: number;
  readonly atS: number;
}

/**
 * Highest value of switchOnCurve. It stays below V/R, the more the closer the two time constants are: a switch-on peak is not the
 * stall current. Null where the current rises to the run without a peak.
 */
export function switchOnPeak(motor: SwitchOn): SwitchOnPeak | null {
  const { electricalS, mechanicalS } = motor;
  // before the peak the current rises, after it falls: halve the stretch until the place is known to a millionth of it
  const curve = switchOnCurve(motor);
  const rises = (atS: number): boolean => curve(atS * 1.000001) > curve(atS);
  let low = Math.min(electricalS, mechanicalS) * 1e-3;
  let high = 2 * Math.sqrt(electricalS * mechanicalS) + 4 * electricalS;
  if (!rises(low) || rises(high)) return null;
  for (let round = 0; round < 40; round++) {
    const middle = (low + high) / 2;
    if (rises(middle)) low = middle;
    else high = middle;
  }
  return { peakA: curve(low), atS: low };
}
