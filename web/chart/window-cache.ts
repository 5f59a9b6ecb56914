import type { Samples } from '../../src/core/trace.ts';
import { lowerBound } from '../../src/core/trace.ts';
import type { View } from './view.ts';

/** One answered window: every sample of `[fromS, toS)`, or its first, least, greatest and last per column of `columnS` seconds. */
interface CachedWindow {
  readonly fromS: number;
  readonly toS: number;
  /** 0 when the window holds every sample */
  readonly columnS: number;
  readonly samples: Samples;
}

interface KeptPart {
  readonly fromS: number;
  readonly toS: number;
  readonly window: CachedWindow;
}

/** Windows kept: the overview, the view, its neighbours and the way back through a few zooms; each at most about 100 kB. */
const KEPT = 32;

/**
 * Windows of a long trace that were asked for and are still near, so that panning and zooming draw at once from what is there, coarse
 * if need be, while the exact window is on its way.
 */
export class WindowCache {
  private windows: CachedWindow[] = [];

  add(window: CachedWindow): void {
    this.windows = this.windows.filter((old) => !(old.columnS >= window.columnS && old.fromS >= window.fromS && old.toS <= window.toS));
    this.windows.push(window);
    if (this.windows.length <= KEPT) return;
    // the widest one is the overview: it always has something to show, so it stays
    let widest = 0;
    this.windows.forEach((one, index) => {
      if (one.toS - one.fromS > this.windows[widest]!.toS - this.windows[widest]!.fromS) widest = index;
    });
    this.windows.splice(widest === 0 ? 1 : 0, 1);
  }

  clear(): void {
    this.windows = [];
  }

  /** True when the view can be drawn from one window at least as fine as its own pixel columns. */
  covers(view: View, columnS: number): boolean {
    return this.windows.some((one) => one.fromS <= view.fromS && one.toS >= view.toS && one.columnS <= columnS * (1 + 1e-9));
  }

  /** The best samples there are for the view, finest first where windows overlap, in order of time. */
  compose(view: View): Samples {
    const pieces: KeptPart[] = [];
    let open: View[] = [view];
    for (const window of [...this.windows].sort((a, b) => a.columnS - b.columnS)) {
      const left: View[] = [];
      for (const hole of open) {
        const fromS = Math.max(hole.fromS, window.fromS);
        const toS = Math.min(hole.toS, window.toS);
        if (fromS >= toS) {
          left.push(hole);
          continue;
        }
        pieces.push({ fromS, toS, window });
        if (hole.fromS < fromS) left.push({ fromS: hole.fromS, toS: fromS });
        if (toS < hole.toS) left.push({ fromS: toS, toS: hole.toS });
      }
      open = left;
      if (open.length === 0) break;
    }
    pieces.sort((a, b) => a.fromS - b.fromS);
    return joinSlices(pieces.map(({ fromS, toS, window }) => slice(window.samples, fromS, toS)));
  }
}

function slice(samples: Samples, fromS: number, toS: number): Samples {
  const a = lowerBound(samples.timeS, fromS);
  const b = lowerBound(samples.timeS, toS, a);
  return { timeS: samples.timeS.subarray(a, b), currentA: samples.currentA.subarray(a, b), voltageV: samples.voltageV?.subarray(a, b) ?? null };
}

/** Puts runs of samples one after the other; samples that do not come later than what is already there are left out. */
export function joinSlices(slices: readonly Samples[]): Samples {
  const parts = slices.filter((one) => one.timeS.length > 0);
  if (parts.length === 1) return parts[0]!;
  let length = 0;
  for (const part of parts) length += part.timeS.length;
  const timeS = new Float64Array(length);
  const currentA = new Float32Array(length);
  const withVoltage = parts.length > 0 && parts.every((part) => part.voltageV !== null);
  const voltageV = withVoltage ? new Float32Array(length) : null;
  let at = 0;
  for (const part of parts) {
    const skip = at === 0 ? 0 : lowerBound(part.timeS, timeS[at - 1]! + 1e-12);
    timeS.set(part.timeS.subarray(skip), at);
    currentA.set(part.currentA.subarray(skip), at);
    if (voltageV !== null) voltageV.set(part.voltageV!.subarray(skip), at);
    at += part.timeS.length - skip;
  }
  return { timeS: timeS.subarray(0, at), currentA: currentA.subarray(0, at), voltageV: voltageV?.subarray(0, at) ?? null };
}
