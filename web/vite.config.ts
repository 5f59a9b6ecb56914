import { fileURLToPath } from 'node:url';
import preact from '@preact/preset-vite';
import { defineConfig } from 'vite';

/** The pages are built into dist/web and served from there by the daemon; no file is fetched from anywhere else. */
export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [preact()],
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
