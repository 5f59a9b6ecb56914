/**
 * HTML and SVG as text, safe by construction: whatever is put into a template is escaped, unless it came out of a template itself.
 * The report holds strangers' words (names of vehicles, notes, labels from files), so nothing is ever joined by hand.
 */
export class Markup {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

type Content = Markup | string | number | null | readonly Content[];

/** Tagged template: html`<p>${words}</p>`. null gives nothing, lists are joined. */
export function html(parts: TemplateStringsArray, ...values: readonly Content[]): Markup {
  let text = parts[0];
  for (let i = 0; i < values.length; i++) text += render(values[i]) + parts[i + 1];
  return new Markup(text);
}

function render(content: Content): string {
  if (content === null) return '';
  if (content instanceof Markup) return content.text;
  if (typeof content === 'string') return escapeText(content);
  if (typeof content === 'number') return Number.isFinite(content) ? String(content) : '';
  return content.map(render).join('');
}

/** Escapes the five characters that matter in HTML text and attributes, and drops control characters that no document may hold. */
function escapeText(text: string): string {
  return text
    // oxlint-disable-next-line no-control-regex -- exactly the control characters are meant
    .replaceAll(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}
