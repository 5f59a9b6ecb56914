import type { Placement } from '../../src/core/analysis/compare/known-good/known-good.ts';

const WIDTH = 150;
const HEIGHT = 24;
const EDGE = 6;

/** The limits as a band, the trace's figure as a mark with its uncertainty; the table beside it says the same in figures. */
export function LimitsBar({ place: { value, low, high, low_value: lowValue, high_value: highValue } }: { place: Placement }) {
  const least = Math.min(low, lowValue ?? value, value);
  const most = Math.max(high, highValue ?? value, value);
  const spare = (most - least || 1) * 0.12;
  const x = (at: number): number => EDGE + ((at - least + spare) / (most - least + 2 * spare || 1)) * (WIDTH - 2 * EDGE);
  return (
    <svg class="limits-bar" width={WIDTH} height={HEIGHT} aria-hidden="true">
      <line class="limits-axis" x1={EDGE} x2={WIDTH - EDGE} y1={HEIGHT / 2} y2={HEIGHT / 2} />
      <rect class="limits-band" x={x(low)} y={5} width={Math.max(x(high) - x(low), 2)} height={HEIGHT - 10} />
      {lowValue !== null && highValue !== null && <line class="limits-bounds" x1={x(lowValue)} x2={x(highValue)} y1={HEIGHT / 2} y2={HEIGHT / 2} />}
      <path class="limits-mark" d={`M${x(value)} 3 l5 9 l-5 9 l-5 -9 z`} />
    </svg>
  );
}
