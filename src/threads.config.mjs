import { fileURLToPath } from 'node:url';

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

/**
 * Each thread of the daemon as one file in dist/threads, with what it shares with the others beside it. Out of the two hundred files that the compiler makes, a
 * thread takes three times as long to start. The packages of mathematics are in it, since each would be read anew; the others stay where they are.
 */
export default {
  root: here('..'),
  logLevel: 'warn',
  ssr: { noExternal: ['simple-statistics', 'jstat', /^ml-/, 'is-any-array'] },
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist/threads',
    emptyOutDir: false,
    rollupOptions: {
      input: Object.fromEntries(['live-worker', 'long-worker', 'view-worker'].map((name) => [name, here(`../dist/daemon/threads/${name}.js`)])),
      output: { entryFileNames: '[name].js', chunkFileNames: 'shared/[name].js' },
    },
  },
};
