import { language } from '../../src/core/present/language.ts';
import { Glyph } from '../app/glyph.tsx';
import { oddLines, source } from '../state/live.ts';
import { ColumnForm } from './column-form.tsx';
import { fieldsOf, oddKind, serialSpec, type LineField } from './line-columns.ts';
import { printable } from './printable.ts';

const words = language.pages.lines;

/** Lines come and none is a reading: shows them as they came, and asks what their columns hold. */
export function OddLines() {
  const lines = oddLines.value;
  if (lines.length === 0) return null;
  const spec = serialSpec(source.value);
  const fields = fieldsOf(lines);
  return (
    <section class="plate odd-lines" aria-label={words.title}>
      <h2><Glyph shape="fault" size={20} />{words.title}</h2>
      <p>{oddAdvice(lines, fields)}</p>
      <pre aria-label={words.last}>{lines.map(printable).join('\n')}</pre>
      {spec !== null && <ColumnForm spec={spec} fields={fields} key={fields.length} />}
    </section>
  );
}

/** What to do about them. Of noise the daemon knows which speeds it has tried. */
export function oddAdvice(lines: readonly string[], fields: readonly LineField[]): string {
  const kind = oddKind(lines, fields);
  if (kind !== 'noise') return words.odd[kind];
  if (source.value?.state === 'connecting') return source.value.text;
  // a logger that was read has been read at this speed
  return words.odd[source.value?.logger == null ? 'noise' : 'disturbed'];
}
