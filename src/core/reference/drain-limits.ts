/** Limits of key-off drain as published, to choose from. No standard or law names one; the common 50 mA has no published source. */
interface DrainLimit {
  /** lower-case words with dashes */
  readonly name: string;
  readonly limitA: number;
  /** what the source says one must wait before reading, s; null where it says nothing */
  readonly settlingS: number | null;
  readonly text: string;
  readonly source: string;
}

export const DRAIN_LIMITS: readonly DrainLimit[] = [
  { name: 'common', limitA: 0.05, settlingS: null, text: '50 mA', source: 'common practice, no published source' },
  { name: 'edge-2023', limitA: 0.05, settlingS: 75 * 60, text: '25 to 50 mA after a rest of at least 75 min', source: 'Ford 2023 Edge, Battery Drain Check' },
  { name: 'compass-2023', limitA: 0.03, settlingS: null, text: '30 mA', source: 'Jeep 2023 Compass' },
  { name: 'compass-2021', limitA: 0.035, settlingS: 30 * 60, text: '5 to 35 mA, time-outs up to 30 min', source: 'Jeep 2021 Compass' },
  { name: 'aura-2008', limitA: 0.03, settlingS: 5 * 60, text: '10 to 30 mA after 5 min', source: 'Saturn Aura 2008' },
  { name: 'tsb-07-62-07', limitA: 0.15, settlingS: 5 * 60, text: 'at most 150 mA after 5 min', source: 'Subaru TSB 07-62-07, as quoted on public forums' },
];

/** Reserve capacity over four, in milliamps (Oldsmobile Aurora 2001, GM manual): RC 100 min allows 25 mA. Returns A. */
export function reserveCapacityLimitA(reserveCapacityMin: number): number {
  return reserveCapacityMin / 4 / 1000;
}
