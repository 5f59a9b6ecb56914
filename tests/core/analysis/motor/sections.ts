import type { Section } from '../../../../src/core/analysis/motor/section.ts';

/** A stretch of a motor's recording without anything in it but what is asked for. */
export function section(fields: Partial<Section> = {}): Section {
  return {
    samples: 1000, startS: 0, endS: 10, rateHz: 100, gaps: [], place: null, hasVoltage: false, topV: 0, deadPresses: 0, certain: true, load: { kind: 'motor', reason: 'ripple' }, unseenLoads: 0,
    isUnusable: false, backgroundA: 0, baseline: { current_a: 0, noise_a: 0.01 }, actuations: [], flags: [], problems: [], ...fields,
  };
}
