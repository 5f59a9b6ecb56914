import { computed, effect, signal } from '@preact/signals';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { FlagWatch, joinedFlags, type LiveFlag } from '../test/flag-watch.ts';
import { result, settings } from './live.ts';

/** the limit whose passing is flagged, A; null when none was typed in */
export const flagLimitA = computed(() => (settings.value?.test === 'actuation' ? (settings.value.actuation.flagLimitA ?? null) : null));

/** how long a reading stays past it before it is flagged, s */
const flagHoldS = computed(() => (settings.value?.test === 'actuation' ? (settings.value.actuation.flagHoldS ?? 0) : 0));

/** flags seen by this page since its limit was set */
export const flagCount = signal(0);
let watch = new FlagWatch(Infinity);

/** Stretches past the limit: those of the running analysis and those this page has seen, oldest first. */
export function flagsNow(): readonly LiveFlag[] {
  const latest = result.value;
  const found = latest?.result.test === 'actuation' ? latest.result.flags.filter((flag) => flag.limit_a === flagLimitA.value) : [];
  return joinedFlags(found, latest?.offsetS ?? 0, watch.flags);
}

/** Whether readings that arrived begin a new flag. */
export function flagged(frame: SampleFrame): boolean {
  if (!watch.push(frame)) return false;
  flagCount.value++;
  return true;
}

/** A new limit, another source or another test begins a new list. */
export function forgetFlags(): void {
  watch = new FlagWatch(flagLimitA.value ?? Infinity, flagHoldS.value);
  flagCount.value = 0;
}

effect(forgetFlags);
