/** Axis numbers with just the decimals their step needs, so that none is rounded to another's place; currents all below 1 A in milliamps. */
export function axisLabels(splits: readonly number[], unit: string): string[] {
  const milli = unit === 'A' && splits.every((value) => Math.abs(value) < 1);
  const factor = milli ? 1000 : 1;
  const step = splits.length > 1 ? Math.abs(splits[1]! - splits[0]!) * factor : 1;
  const decimals = decimalsOf(step);
  return splits.map((value) => `${(value * factor).toFixed(decimals).replace(/^-(?=0\.?0*$)/, '').replace('-', '−')} ${milli ? 'mA' : unit}`);
}

const MOST_DECIMALS = 6;

/** Fewest decimals that write a step exactly: steps go by 1, 2, 2.5 and 5. */
function decimalsOf(step: number): number {
  let decimals = 0;
  while (decimals < MOST_DECIMALS && Math.abs(step * 10 ** decimals - Math.round(step * 10 ** decimals)) > 1e-6 * step * 10 ** decimals) decimals++;
  return decimals;
}
