import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build as bundle, type Plugin } from 'vite';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const SOURCES = resolve(ROOT, 'src') + sep;
export const BUILT = resolve(ROOT, 'dist') + sep;

/** What is built from a file of the sources. */
export function builtFile(path: string): string {
  const built = BUILT + path.slice(SOURCES.length).replace(/\.ts$/, '.js');
  if (!path.startsWith(SOURCES) || !existsSync(built)) throw new Error(`${path} is not built: ${built} is missing.`);
  return built;
}

/**
 * Tests run the program as it is built: an import of `src/…/name.ts` from a test or a page gets `dist/…/name.js`, and so do the threads that it starts. Node
 * loads that at once, where two hundred test files would each have every source translated, handed over and evaluated piece by piece.
 */
export function builtSources(): Plugin {
  return {
    name: 'built-sources',
    enforce: 'pre',
    resolveId(source, importer) {
      if (importer === undefined || !source.startsWith('.') || !source.endsWith('.ts')) return null;
      const path = resolve(importer, '..', source);
      // a file that is no longer there may still lie among the built ones
      if (!path.startsWith(SOURCES) || !existsSync(path)) return null;
      return builtFile(path);
    },
  };
}

/** Before the first test: the build is made to match the sources, as `npm run program` does it. Stops the run where they do not compile. */
export default async function build(): Promise<void> {
  execFileSync(process.execPath, [resolve(ROOT, 'node_modules/typescript/bin/tsc'), '-b', 'src/cli'], { cwd: ROOT, stdio: 'inherit' });
  await bundle({ configFile: resolve(ROOT, 'src/threads.config.mjs') });
}
