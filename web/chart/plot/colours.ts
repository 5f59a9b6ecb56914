import type { ChartColours } from './uplot-chart.ts';

/** The chart's colours as the style sheet holds them now: canvas cannot read CSS variables by itself. */
export function chartColours(): ChartColours {
  const style = getComputedStyle(document.documentElement);
  const read = (name: string): string => style.getPropertyValue(name).trim();
  return {
    current: read('--current'), voltage: read('--voltage'), flag: read('--fault'), limit: read('--limit'),
    ink: read('--ink-soft'), rule: read('--rule-soft'), paper: read('--plate'), selection: read('--selection'),
  };
}
