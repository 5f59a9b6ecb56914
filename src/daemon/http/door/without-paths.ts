import type { ToPage } from '../../../core/wire/messages.ts';

/** A folder whose files are talked of, and what to call it where its own path does not belong. */
interface NamedFolder {
  readonly path: string;
  readonly name: string;
}

/**
 * Takes the paths of this computer out of words that leave it: they say how it is laid out and who works on it, and help nobody on
 * another device. Words of the store and of the sources keep theirs, for the person at the terminal.
 */
export class PathFilter {
  readonly #data: readonly Written[];
  readonly #all: readonly Written[];

  constructor(data: NamedFolder, others: readonly NamedFolder[]) {
    this.#data = waysToWrite(data);
    // longest first, so that a folder inside another one goes first
    this.#all = [data, ...others.filter(({ path }) => path.length > 1)].sort((a, b) => b.path.length - a.path.length).flatMap(waysToWrite);
  }

  /** One sentence: below a known folder the way from there stays, of any other path the last name. */
  sentence(text: string): string {
    return replaced(text, this.#all).replaceAll(POSIX_PATH, (_path, before: string, name: string) => `${before}${name}`).replaceAll(WINDOWS_PATH, (_path, name: string) => name);
  }

  /** A whole answer, as JSON or as a page: the path of the data folder, in the ways it can be written there. */
  answer(text: string): string {
    return replaced(text, this.#data);
  }

  /** A message as pages on other devices get it. */
  message(message: ToPage): ToPage {
    switch (message.type) {
      case 'hello':
        return { ...message, dataFolder: '' };
      case 'source':
        return { ...message, spec: this.sentence(message.spec), ...(message.port === undefined ? {} : { port: this.sentence(message.port) }), text: this.sentence(message.text), logger: message.logger === null ? null : { ...message.logger, name: this.sentence(message.logger.name) } };
      case 'notice':
      case 'recording':
      case 'refused':
        return { ...message, text: this.sentence(message.text) };
      default:
        return message;
    }
  }
}

interface Written {
  readonly pattern: RegExp;
  readonly text: string;
  readonly name: string;
}

/** Two segments or more, so that "A/V" and a lone slash stay: what was before it, the last name. */
const POSIX_PATH = /(^|[\s"'(:=])\/(?:[^\s/"'():,?]+\/)+([^\s/"'():,?]*)/g;
const WINDOWS_PATH = /\b[A-Za-z]:\\(?:[^\s\\"'():,?]+\\)*([^\s\\"'():,?]*)/g;

function waysToWrite({ path, name }: NamedFolder): Written[] {
  const ways = new Set([path, JSON.stringify(path).slice(1, -1), escapeHtml(path)]);
  return [...ways].map((text) => ({ text, name, pattern: new RegExp(`${text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`)}([/\\\\]+|(?![\\w-]))`, 'g') }));
}

function replaced(text: string, folders: readonly Written[]): string {
  let out = text;
  for (const { text: path, name, pattern } of folders) if (out.includes(path)) out = out.replaceAll(pattern, (_path, slash: string) => (slash === '' ? name : ''));
  return out;
}

function escapeHtml(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');
}
