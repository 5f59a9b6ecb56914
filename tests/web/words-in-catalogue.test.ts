import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { parseSync } from 'vite';
import { describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '../..');

/** The same in every language: symbols of units and of what they are of. */
const SYMBOLS = /^(?:[^\p{L}]|(?<!\p{L})(?:[mkµ]?(?:A|V|W|Ω|s|Hz|Ah|m|m²)|mm²|C|min|h|ppm|VIN)(?!\p{L}))*$/u;
const SPOKEN_ATTRIBUTES = new Set(['title', 'aria-label', 'placeholder', 'alt', 'label', 'help']);

/** Causes as one line of codes, and where each row was read. */
const CODES_AND_SOURCES = /reason\/table$/;

/** Settings of Express by its own names. */
const NAMES_OF_OTHERS = new Set(['case sensitive routing']);
/** Three words in a row in one string: a sentence, or the name of something for people. */
const SENTENCE = /\p{L}{2,}[,:]? \p{L}{2,} \p{L}{2,}/u;

interface Node {
  readonly type: string;
  readonly start: number;
  readonly [key: string]: unknown;
}

/** What a file says by itself: text between tags, in attributes that are read out, and in the branches of an expression between tags. */
function ownWords(path: string, text: string): string[] {
  const said: string[] = [];
  const { program, errors } = parseSync(path, text, { lang: 'tsx' });
  expect(errors, path).toEqual([]);
  const say = (value: unknown): void => {
    if (typeof value === 'string' && /\p{L}/u.test(value) && !SYMBOLS.test(value.trim())) said.push(value.trim());
  };
  const sayBranches = (node: Node | null): void => {
    if (node === null) return;
    if (node.type === 'Literal') say(node['value']);
    if (node.type === 'TemplateLiteral') for (const part of node['quasis'] as Node[]) say((part['value'] as { cooked: string }).cooked);
    if (node.type === 'ConditionalExpression') for (const side of ['consequent', 'alternate']) sayBranches(node[side] as Node);
    if (node.type === 'LogicalExpression') sayBranches(node['right'] as Node);
    if (node.type === 'ParenthesizedExpression') sayBranches(node['expression'] as Node);
  };
  visit(program as unknown as Node, (node) => {
    if (node.type === 'JSXText') say(node['value']);
    if (node.type === 'JSXElement' || node.type === 'JSXFragment') {
      for (const child of node['children'] as Node[]) if (child.type === 'JSXExpressionContainer') sayBranches(child['expression'] as Node);
    }
    if (node.type === 'JSXAttribute' && SPOKEN_ATTRIBUTES.has(nameOf(node['name'] as Node))) {
      const value = node['value'] as Node | null;
      sayBranches(value?.type === 'JSXExpressionContainer' ? value['expression'] as Node : value);
    }
  });
  return said;
}

/** Strings of a file of the command line or the daemon that read like sentences. */
function sentencesOf(path: string, text: string): string[] {
  const found: string[] = [];
  visit(parseSync(path, text, { lang: 'ts' }).program as unknown as Node, (node) => {
    const value = node.type === 'Literal' ? node['value'] : node.type === 'TemplateElement' ? (node['value'] as { cooked: string }).cooked : null;
    if (typeof value === 'string' && SENTENCE.test(value) && !NAMES_OF_OTHERS.has(value)) found.push(value);
  });
  return found;
}

/** What the templates of a page to print say between their tags. */
function wordsOfMarkup(path: string, text: string): string[] {
  const said: string[] = [];
  visit(parseSync(path, text, { lang: 'ts' }).program as unknown as Node, (node) => {
    if (node.type !== 'TaggedTemplateExpression' || nameOf(node['tag'] as Node) !== 'html') return;
    const parts = ((node['quasi'] as Node)['quasis'] as Node[]).map((part) => (part['value'] as { cooked: string }).cooked);
    for (const between of parts.join('…').split(/<[^>]*>|[\w-]+="[^"]*"?|…/)) if (!SYMBOLS.test(between.trim())) said.push(between.trim());
  });
  return said;
}

function nameOf(node: Node): string {
  return String(node['name']);
}

function visit(node: unknown, see: (node: Node) => void): void {
  if (Array.isArray(node)) {
    for (const one of node) visit(one, see);
  } else if (typeof node === 'object' && node !== null) {
    if ('type' in node) see(node as Node);
    for (const value of Object.values(node)) visit(value, see);
  }
}

describe('what people read on the screens', () => {
  it('is in the catalogue of words, not in the screens', () => {
    const files = readdirSync(join(ROOT, 'web'), { recursive: true, withFileTypes: true }).filter((entry) => entry.name.endsWith('.tsx')).map((entry) => join(entry.parentPath, entry.name));
    expect(files.length).toBeGreaterThan(80);
    expect(files.flatMap((file) => ownWords(file, readFileSync(file, 'utf8')).map((words) => `${relative(ROOT, file)}: ${words}`))).toEqual([]);
  });

  it('is in the catalogue of words, not in the command line, the daemon, the analyses or the readers of lines and cases', () => {
    const files = ['src/cli', 'src/daemon', 'src/core/analysis', 'src/core/decode', 'src/core/reason'].flatMap((folder) => readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })).filter((entry) => entry.name.endsWith('.ts') && !CODES_AND_SOURCES.test(entry.parentPath)).map((entry) => join(entry.parentPath, entry.name));
    expect(files.length).toBeGreaterThan(300);
    expect(files.flatMap((file) => sentencesOf(file, readFileSync(file, 'utf8')).map((words) => `${relative(ROOT, file)}: ${words}`))).toEqual([]);
  });

  it('is in the catalogue of words, not in the pages to print or the pictures', () => {
    const files = ['src/core/report', 'src/core/picture'].flatMap((folder) => readdirSync(join(ROOT, folder)).map((name) => join(ROOT, folder, name)));
    expect(files.length).toBeGreaterThan(20);
    expect(files.flatMap((file) => wordsOfMarkup(file, readFileSync(file, 'utf8')).map((words) => `${relative(ROOT, file)}: ${words}`))).toEqual([]);
    expect(wordsOfMarkup('x.ts', 'html`<p class="small wide">Two words ${a} A</p><td>${b} Ω</td>`')).toEqual(['Two words']);
  });

  it('is found wherever a screen can say it', () => {
    const texts = [
      '<p>Two words</p>', '<p title="Two words" />', '<p title={a ? "Two words" : b} />', '<p>{a ? "Two words" : b}</p>', '<p>{a ?? "Two words"}</p>', '<p>{`Two words ${a}`}</p>', '<p>Two words{a}</p>',
      '<><b>Two words</b></>', '<Field help="Two words" />',
    ];
    for (const text of texts) expect(ownWords('x.tsx', `const x = ${text};`), text).toEqual(['Two words']);
    for (const text of ['<p class="two words">{a} mA, {b} °C</p>', '<p>{words.a}</p>', '<input value="x" />']) expect(ownWords('x.tsx', `const x = ${text};`), text).toEqual([]);
  });
});
