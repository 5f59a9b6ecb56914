/** A plain text table: columns padded to their widest cell, numbers to the right, two spaces between. */
export function textTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((cell, column) => Math.max(cell.length, ...rows.map((row) => (row[column] ?? '').length)));
  const numeric = head.map((_, column) => rows.length > 0 && rows.every((row) => /^[-+±]?[\d.]|^-?$/.test(row[column] ?? '')));
  const line = (cells: readonly string[]): string =>
    cells.map((cell, column) => (numeric[column] === true ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0))).join('  ').trimEnd();
  return [line(head), ...rows.map(line)].join('\n') + '\n';
}

/** A sentence wrapped to the terminal's width behind a bullet. */
export function bullet(text: string, width = 96): string {
  const lines: string[] = [];
  let line = ' -';
  for (const word of text.split(/\s+/)) {
    if (line.length + 1 + word.length > width && line.trim() !== '-') {
      lines.push(line);
      line = '  ';
    }
    line += ` ${word}`;
  }
  lines.push(line);
  return lines.join('\n') + '\n';
}
