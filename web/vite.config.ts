import { fileURLToPath } from 'node:url';
import preact from '@preact/preset-vite';
import { defineConfig, type Plugin } from 'vite';

const NO_WORDS = '\0no-words';

/** What only the daemon, the command line and the printed page say is nearly half of all; no page says it (tests/architecture.test.ts). */
const OTHERS_WORDS: Readonly<Record<string, string>> = { './cli/index.ts': 'cli', './daemon/index.ts': 'daemon', './report.ts': 'report', './refusals/case-file.ts': 'caseFile', './refusals/fuse-list.ts': 'fuseList' };

const withoutOthersWords: Plugin = {
  name: 'without-others-words',
  enforce: 'pre',
  resolveId: (source, importer) => (/\/present\/[\w-]+\/index\.ts$/.test(importer ?? '') && OTHERS_WORDS[source] !== undefined ? `${NO_WORDS}-${OTHERS_WORDS[source]}` : null),
  load: (id) => (id.startsWith(NO_WORDS) ? `export const ${id.slice(NO_WORDS.length + 1)} = {};` : null),
};

/** The pages are built into dist/web and served from there by the daemon; no file is fetched from anywhere else. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [withoutOthersWords, preact()],
  build: {
    outDir: fileURLToPath(new URL('../dist/web', import.meta.url)),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: { index: fileURLToPath(new URL('index.html', import.meta.url)), offline: fileURLToPath(new URL('offline.ts', import.meta.url)) },
      // a service worker has one address for ever, and looks after everything below it
      output: { entryFileNames: ({ name }) => (name === 'offline' ? 'offline.js' : 'assets/[name]-[hash].js') },
    },
  },
});
