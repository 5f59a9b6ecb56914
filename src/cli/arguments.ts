import { parseDurationS } from '../core/units.ts';
import type { TestKind } from '../core/analysis/results.ts';
import { UsageError } from './io.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.arguments;

/** Readers of option values. Each throws UsageError with what was expected and what came. */

export function readTest(text: string): TestKind {
  if (text === 'actuation' || text === 'drain') return text;
  throw new UsageError(words.testIsActuationOr(text));
}

export function readNumber(name: string, low: number, high: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() === '' || !Number.isFinite(value) || value < low || value > high) {
      throw new UsageError(words.takesANumberFrom(name, low, high, text));
    }
    return value;
  };
}

export function readInteger(name: string, low: number, high: number): (text: string) => number {
  const number = readNumber(name, low, high);
  return (text) => {
    const value = number(text);
    if (!Number.isInteger(value)) throw new UsageError(words.takesAWholeNumberNot(name, text));
    return value;
  };
}

export function readDuration(name: string): (text: string) => number {
  return (text) => {
    const durationS = parseDurationS(text);
    if (durationS === null || durationS <= 0) throw new UsageError(words.takesADurationSuch(name, text));
    return durationS;
  };
}

/** `3:5`: two rising numbers, A. */
export function readRange(name: string): (text: string) => [number, number] {
  return (text) => {
    const parts = text.split(':').map(Number);
    const [low, high] = parts;
    if (parts.length !== 2 || low === undefined || high === undefined || !Number.isFinite(low) || !Number.isFinite(high) || text.includes('::') || text.startsWith(':') || text.endsWith(':')) {
      throw new UsageError(words.takesTwoNumbersWith(name, text));
    }
    if (low < 0 || high <= low) throw new UsageError(words.takesTheLowerNumber(name, text));
    return [low, high];
  };
}

/** `1.5:6` or `16awg:6` or `1.5:6:40`: cross-section in mm2 or AWG, length of the feed in m, temperature in C (default 20). */
export function readWire(text: string, awgAreaMm2: (gauge: number) => number): { areaMm2: number; lengthM: number; temperatureC: number } {
  const match = /^(\d+(?:\.\d+)?)(awg|mm2)?:(\d+(?:\.\d+)?)(?::(-?\d+(?:\.\d+)?))?$/i.exec(text.trim());
  if (match === null) throw new UsageError(words.wireTakesCrossSection(text));
  const size = Number(match[1]);
  const areaMm2 = match[2]?.toLowerCase() === 'awg' ? awgAreaMm2(size) : size;
  const lengthM = Number(match[3]);
  if (!(areaMm2 > 0) || !(lengthM > 0)) throw new UsageError(words.wireNeedsACross(text));
  return { areaMm2, lengthM, temperatureC: match[4] === undefined ? 20 : Number(match[4]) };
}
