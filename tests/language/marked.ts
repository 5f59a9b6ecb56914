import { numbersIn } from '../../src/core/present/numbers.ts';
import type { Words } from '../../src/core/present/words.ts';

/** The marks around a sentence of the other language. */
export const OPEN = '\u27e6';
export const CLOSE = '\u27e7';

/** A part of a catalogue with every sentence in marks: strings, lists of them, and what functions give back. */
function marked<Part>(part: Part): Part {
  const mark = (value: unknown): unknown => {
    if (typeof value === 'string') return value === '' ? '' : `${OPEN}${value}${CLOSE}`;
    if (typeof value === 'function') return (...given: readonly unknown[]): unknown => mark((value as (...all: readonly unknown[]) => unknown)(...given));
    if (Array.isArray(value)) return value.map(mark);
    if (typeof value === 'object' && value !== null) return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, mark(one)]));
    return value;
  };
  return mark(part) as Part;
}

const range = (low: string, high: string): string => `${OPEN}${low} bis ${high}${CLOSE}`;

/** A language of the test's own: every sentence of English in marks, the numbers of German (Unicode CLDR). The compiler asks for each part. */
export function markedLanguage(en: Words): Words {
  return {
    locale: 'de-DE',
    numbers: numbersIn('de-DE', range),
    range,
    listAnd: (parts) => parts.join(' & '),
    listOr: (parts) => parts.join(' | '),
    findings: marked(en.findings),
    unjudged: marked(en.unjudged),
    judgedByItself: marked(en.judgedByItself),
    judgedByItsFall: marked(en.judgedByItsFall),
    fuses: marked(en.fuses),
    reason: marked(en.reason),
    screens: marked(en.screens),
    figures: marked(en.figures),
    report: marked(en.report),
    files: marked(en.files),
    caseFile: marked(en.caseFile),
    fuseList: marked(en.fuseList),
    knownGoodFile: marked(en.knownGoodFile),
    linePicture: marked(en.linePicture),
    cli: marked(en.cli),
    daemon: marked(en.daemon),
    calibration: marked(en.calibration),
    cautions: marked(en.cautions),
    names: marked(en.names),
    checks: marked(en.checks),
    compare: marked(en.compare),
    customer: marked(en.customer),
    formats: marked(en.formats),
    help: marked(en.help),
    library: marked(en.library),
    motor: marked(en.motor),
    night: marked(en.night),
    pages: marked(en.pages),
    press: marked(en.press),
    together: marked(en.together),
  };
}

/** What is left of a text when all sentences in marks are taken out, outermost first. */
export function outsideMarks(text: string): string {
  let depth = 0;
  let rest = '';
  for (const letter of text) {
    if (letter === OPEN) depth++;
    else if (letter === CLOSE) depth--;
    else if (depth === 0) rest += letter;
  }
  return rest;
}
