import type { CalibrationRecord, KnownPoint } from '../core/analysis/uncertainty/calibration.ts';
import { SECONDS_PER_HOUR } from '../core/units.ts';
import { UsageError } from './io.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.calibrationFlags;

/** What is typed for `amptrail calibrate add`. */
export interface CalibrationFlags {
  channel: CalibrationRecord['channel'];
  zero?: number;
  zeroAfter?: number;
  between?: number;
  scatter?: number;
  known?: { applied: number; read: number }[];
  tolerance?: number;
  shunt?: number;
  reckoned?: number;
  class?: number;
  part?: string;
  by: string;
  temperature?: number;
  due?: number;
}

const MS_PER_DAY = 86_400_000;

/** `5:4.85`: what the reference said, and what the logger read. Collects up to two. */
export function readKnown(text: string, before: CalibrationFlags['known'] = []): { applied: number; read: number }[] {
  const match = /^(-?\d+(?:\.\d+)?):(-?\d+(?:\.\d+)?)$/.exec(text.trim());
  if (match === null) throw new UsageError(words.knownTakesWhatThe(text));
  if (before.length === 2) throw new UsageError(words.knownCanBeGiven);
  return [...before, { applied: Number(match[1]), read: Number(match[2]) }];
}

export function readChannel(text: string): CalibrationRecord['channel'] {
  if (text === 'current' || text === 'voltage') return text;
  throw new UsageError(words.channelIsCurrentOr(text));
}

/** The record of what was typed; what goes together is asked for together. */
export function calibrationOf(flags: CalibrationFlags, now: Date): CalibrationRecord {
  return {
    channel: flags.channel,
    at: now.toISOString(),
    by: flags.by,
    temperature_c: flags.temperature ?? null,
    due: flags.due === undefined ? null : new Date(now.getTime() + flags.due * MS_PER_DAY).toISOString(),
    zero_before: flags.zero ?? null,
    zero_after: flags.zeroAfter ?? null,
    zero_scatter: flags.scatter ?? null,
    zero_hours: flags.between === undefined ? null : flags.between / SECONDS_PER_HOUR,
    points: pointsOf(flags),
    shunt: shuntOf(flags),
    part: flags.part ?? null,
    taken_back: null,
  };
}

function pointsOf({ known = [], tolerance }: CalibrationFlags): KnownPoint[] {
  if (known.length > 0 && tolerance === undefined) throw new UsageError(words.knownNeedsToleranceWhat);
  return known.map((point) => ({ ...point, tolerance_percent: tolerance ?? 0 }));
}

function shuntOf({ shunt, reckoned, class: percent, channel }: CalibrationFlags): CalibrationRecord['shunt'] {
  if (shunt === undefined && reckoned === undefined && percent === undefined) return null;
  if (channel === 'voltage') throw new UsageError(words.shuntBelongsToThe);
  if (shunt === undefined || percent === undefined) throw new UsageError(words.shuntAndClassGo);
  return { reckoned_ohm: reckoned ?? shunt, ohm: shunt, class_percent: percent };
}
