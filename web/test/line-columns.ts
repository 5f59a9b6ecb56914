/** What one column of a logger's lines holds, as chosen on the page. */
export type ColumnChoice = 'skip' | 'time:s' | 'time:ms' | 'time:us' | 'current:A' | 'current:mA' | 'voltage:V' | 'voltage:mV';

export const COLUMN_CHOICES: readonly ColumnChoice[] = ['skip', 'time:s', 'time:ms', 'time:us', 'current:A', 'current:mA', 'voltage:V', 'voltage:mV'];

/** More columns than any logger of this kind prints. */
const MAX_COLUMNS = 16;

/** The fields of the line that has most of them, split as the decoder splits. */
export function fieldsOf(lines: readonly string[]): readonly string[] {
  let fields: string[] = [];
  for (const line of lines) {
    const split = line.split(',').map((field) => field.trim());
    if (split.length > fields.length) fields = split;
  }
  return fields.slice(0, MAX_COLUMNS);
}

/** The spec of the same port with these columns; null where the source is no port, or no column is the current. */
export function withColumns(spec: string, choices: readonly ColumnChoice[]): string | null {
  if (!spec.startsWith('serial:') || choices.filter((choice) => choice.startsWith('current')).length !== 1) return null;
  const [port = '', query = ''] = spec.split('?', 2);
  const kept = query.split('&').filter((part) => part !== '' && !part.startsWith('columns='));
  return `${port}?${[...kept, `columns=${choices.join(',')}`].join('&')}`;
}
