import { join } from 'node:path';
import { markLine, readMarkLines } from '../../../../core/tracefile/marks.ts';
import type { Mark } from '../../../../core/trace.ts';
import { openAppend } from '../../files/append-file.ts';
import { MARKS_FILE, OLD_MARKS_FILE, readSmallFile, writeText } from '../../files/record-file.ts';
import { explainError, StoreError } from '../../files/store-error.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.markChanges;

/**
 * Changes one mark of an ended trace, or removes it. While recording, marks are only ever appended; afterwards the file is replaced as a whole, so that whoever reads it finds one valid mark a
 * line and nothing else. The line as it was goes to the file of old marks first, on the disk before anything is replaced.
 * @param before exactly as it is; so a page that is out of date changes nothing by mistake
 */
export async function changeMark(folder: string, before: Mark, after: Mark | null): Promise<readonly Mark[]> {
  const path = join(folder, MARKS_FILE);
  try {
    const lines = ((await readSmallFile(path)) ?? '').split('\n');
    const at = lines.findIndex((line) => isLineOf(line, before));
    if (at < 0) throw new StoreError('not-found', words.thisMarkIsNo);
    const old = await openAppend(join(folder, OLD_MARKS_FILE));
    await old.append(new TextEncoder().encode(`${lines[at]!}\n`));
    await old.sync();
    await old.close();
    const changed = after === null ? [] : [markLine(after).trimEnd()];
    const text = lines.toSpliced(at, 1, ...changed).join('\n');
    await writeText(path, text);
    return readMarkLines(text).marks;
  } catch (error) {
    throw explainError(error, words.changeTheMark);
  }
}

function isLineOf(line: string, { timeS, kind, label, endS }: Mark): boolean {
  const [mark] = readMarkLines(line).marks;
  return mark !== undefined && mark.timeS === timeS && mark.kind === kind && mark.label === label && mark.endS === endS;
}
