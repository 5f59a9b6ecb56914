import { parseDurationS } from '../core/units.ts';
import type { TestKind } from '../core/analysis/results.ts';
import { UsageError } from './io.ts';

/** Readers of option values. Each throws UsageError with what was expected and what came. */

export function readTest(text: string): TestKind {
  if (text === 'actuation' || text === 'drain') return text;
  throw new UsageError(`--test is actuation or drain, not "${text}"`);
}

export function readNumber(name: string, low: number, high: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() === '' || !Number.isFinite(value) || value < low || value > high) {
      throw new UsageError(`${name} takes a number from ${low} to ${high}, not "${text}"`);
    }
    return value;
  };
}

export function readInteger(name: string, low: number, high: number): (text: string) => number {
  const number = readNumber(name, low, high);
  return (text) => {
    const value = number(text);
    if (!Number.isInteger(value)) throw new UsageError(`${name} takes a whole number, not "${text}"`);
    return value;
  };
}

export function readDuration(name: string): (text: string) => number {
  return (text) => {
    const durationS = parseDurationS(text);
    if (durationS === null || durationS <= 0) throw new UsageError(`${name} takes a duration such as 500ms, 30s, 10m or 12h, not "${text}"`);
    return durationS;
  };
}

/** `3:5`: two rising numbers, A. */
export function readRange(name: string): (text: string) => [number, number] {
  return (text) => {
    const parts = text.split(':').map(Number);
    const [low, high] = parts;
    if (parts.length !== 2 || low === undefined || high === undefined || !Number.isFinite(low) || !Number.isFinite(high) || text.includes('::') || text.startsWith(':') || text.endsWith(':')) {
      throw new UsageError(`${name} takes two numbers with a colon, such as 3:5, not "${text}"`);
    }
    if (low < 0 || high <= low) throw new UsageError(`${name} takes the lower number first, both positive: "${text}"`);
    return [low, high];
  };
}

/** `1.5:6` or `16awg:6` or `1.5:6:40`: cross-section in mm2 or AWG, length of the feed in m, temperature in C (default 20). */
export function readWire(text: string, awgAreaMm2: (gauge: number) => number): { areaMm2: number; lengthM: number; temperatureC: number } {
  const match = /^(\d+(?:\.\d+)?)(awg|mm2)?:(\d+(?:\.\d+)?)(?::(-?\d+(?:\.\d+)?))?$/i.exec(text.trim());
  if (match === null) throw new UsageError(`--wire takes cross-section:length[:temperature], such as 1.5mm2:6 or 16awg:6:40, not "${text}"`);
  const size = Number(match[1]);
  const areaMm2 = match[2]?.toLowerCase() === 'awg' ? awgAreaMm2(size) : size;
  const lengthM = Number(match[3]);
  if (!(areaMm2 > 0) || !(lengthM > 0)) throw new UsageError(`--wire needs a cross-section and a length above zero, not "${text}"`);
  return { areaMm2, lengthM, temperatureC: match[4] === undefined ? 20 : Number(match[4]) };
}
