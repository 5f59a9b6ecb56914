import type { Chance } from './chance.ts';
import type { Span } from './types.ts';
import type { ParkedNight } from './vehicle.ts';
import type { Wave } from './wave.ts';

/** Rested lead-acid battery, 12 V: 12.4 to 12.7 V from three quarters to full (starter battery tables), falling as charge leaves it. */
export function restingVoltage(chance: Chance, wave: Wave): Float32Array {
  const startV = chance.between(12.35, 12.7);
  const sourceOhm = chance.between(0.008, 0.03);
  const fallVPerH = chance.between(0.001, 0.012);
  const noiseV = chance.between(0.001, 0.006);
  return Float32Array.from(wave.amps, (amps, i) => startV - amps * sourceOhm - (fallVPerH * i * wave.stepS) / 3600 + chance.normal(noiseV));
}

/** As `restingVoltage`, with the charger's or alternator's voltage while it is on, and the surface charge dying away after it. */
export function chargedVoltage(chance: Chance, wave: Wave, charging: readonly Span[], chargeV: number): Float32Array {
  const volts = restingVoltage(chance, wave);
  const surfaceV = chance.between(0.2, 0.5);
  for (let i = 0; i < volts.length; i++) {
    const tS = i * wave.stepS;
    for (const span of charging) {
      if (tS >= span.fromS && tS < span.toS) volts[i] = chargeV + chance.normal(0.004);
      else if (tS >= span.toS) volts[i]! += surfaceV * Math.exp(-(tS - span.toS) / 1800);
    }
  }
  return volts;
}

/** The engine runs up to `toS`: the alternator feeds the loads and sends a current into the battery that falls as it fills. Call it after `finish`. */
export function engineRunning(night: ParkedNight, toS: number): void {
  const { chance, wave } = night;
  const intoA = chance.between(4, 30);
  const restA = chance.between(1.5, 4);
  const tauS = chance.between(60, 900);
  wave.replace(0, toS, (tS) => -(restA + (intoA - restA) * Math.exp(-tS / tauS)) + chance.normal(0.2));
}

/** The ignition is on without the engine: instruments, pump and control units, some amperes more than all that follows. */
export function ignitionOn(night: ParkedNight, fromS: number, toS: number): void {
  const { chance, wave } = night;
  wave.box(fromS, toS, chance.between(4, 14));
  // the fuel pump primes for a couple of seconds
  wave.box(fromS, Math.min(toS, fromS + chance.between(1.5, 3)), chance.between(3, 6));
}

/**
 * A mains charger from `fromS` to `toS`: constant current into the battery, then tapering to a float of some tenths of an ampere. It
 * feeds the loads meanwhile, so the battery's clamp does not see them. Call it after `finish`.
 */
export function charger(night: ParkedNight, fromS: number, toS: number): void {
  const { chance, wave } = night;
  const bulkA = chance.between(1.5, 12);
  const floatA = chance.between(0.15, 0.9);
  const bulkS = chance.between(0, (toS - fromS) * 0.6);
  const tauS = chance.between(600, 5400);
  wave.replace(fromS, toS, (tS) => -(tS - fromS < bulkS ? bulkA : floatA + (bulkA - floatA) * Math.exp(-(tS - fromS - bulkS) / tauS)));
}
