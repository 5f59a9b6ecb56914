/** Numbers as they are printed: one place for prefixes and digits. */

const PREFIXES: readonly (readonly [number, string])[] = [[1e6, 'M'], [1e3, 'k'], [1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n'], [1e-12, 'p']];

/** 2200 → "2.2 kΩ"; values of parts, which are short in their own prefix. */
export function part(value: number, unit: string): string {
  const [factor, prefix] = PREFIXES.find(([size]) => value >= size * 0.9999) ?? [1, ''];
  return `${Number((value / factor).toPrecision(4))} ${prefix}${unit}`;
}

/** So many significant digits, without an exponent, trailing zeros kept. */
export function digits(value: number, significant = 3): string {
  if (value === 0) return '0';
  const places = significant - 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-12);
  return places > 0 ? value.toFixed(places) : String(Number(value.toPrecision(significant)));
}

export const percent = (share: number, significant = 2): string => `${digits(share * 100, significant)} %`;

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  return [head, head.map(() => '---'), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n');
}
