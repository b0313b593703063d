/** Builds the page with which tests/browser/test_storage.py writes through the store alone. */
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  root: here('../tests/browser/probe'),
  publicDir: false,
  resolve: { alias: [{ find: /^(preact|@preact\/signals|idb)(\/.*)?$/, replacement: here('./node_modules/') + '$1$2' }] },
  build: { emptyOutDir: true, target: 'es2022', modulePreload: { polyfill: false }, assetsInlineLimit: 0, rollupOptions: { output: { codeSplitting: false } } },
})
