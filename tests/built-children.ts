import { mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join, parse, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { transformWithOxc } from 'vite';
import { BUILT, builtFile } from './built.ts';

/** Where the translated programs lie: below the packages that they import. */
const FOLDER = join(BUILT, 'children');

/**
 * The small programs of a folder that tests start as processes of their own, translated each by itself, by name; what they import from the sources is what is
 * built. Started so, one runs after a tenth of the processor time that a loader for TypeScript takes with all its sources.
 */
export async function builtChildren(folder: string): Promise<ReadonlyMap<string, string>> {
  mkdirSync(FOLDER, { recursive: true });
  const programs = new Map<string, string>();
  for (const file of readdirSync(folder).filter((name) => name.endsWith('.ts'))) {
    const { code } = await transformWithOxc(readFileSync(join(folder, file), 'utf8'), join(folder, file), { sourcemap: false });
    const linked = code.replaceAll(/(["'])(\.[^"'\n]*\.ts)\1/g, (_all, _quote, source: string) => JSON.stringify(pathToFileURL(builtFile(resolve(folder, source))).href));
    const { name } = parse(file);
    const path = join(FOLDER, `${name}.mjs`);
    // two workers may do this at once: each puts a whole file in place
    const own = `${path}.${process.pid}`;
    writeFileSync(own, linked);
    renameSync(own, path);
    programs.set(name, path);
  }
  return programs;
}
