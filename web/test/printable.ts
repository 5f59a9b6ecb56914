/** Bytes that are no text are shown as a dot. */
export function printable(line: string): string {
  return line.replaceAll(/[^\x20-\x7e\u00a0-\u024f]/g, '·');
}
