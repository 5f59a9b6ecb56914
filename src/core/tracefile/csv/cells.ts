/** Small tables as spreadsheets write them: comma, semicolon or tab, cells in double quotes where they hold one. One line at a time. */

/** The delimiter of a header line. */
export function csvDelimiter(header: string): string {
  return /[;\t]/.exec(header)?.[0] ?? ',';
}

/** The cells of a line, trimmed; a doubled quote inside quotes is one quote. */
export function csvCells(line: string, delimiter: string): string[] {
  const cells: string[] = [];
  let at = 0;
  for (;;) {
    const quoted = /^ *"((?:[^"]|"")*)" */.exec(line.slice(at));
    const after = quoted === null ? at : at + quoted[0].length;
    if (quoted !== null && (after === line.length || line[after] === delimiter)) {
      cells.push(quoted[1].replaceAll('""', '"').trim());
      at = after;
    } else {
      const end = line.indexOf(delimiter, at);
      cells.push(line.slice(at, end < 0 ? line.length : end).trim());
      at = end < 0 ? line.length : end;
    }
    if (at >= line.length) return cells;
    at++;
  }
}
