/** Builds the pages of tests/browser that use a part of the app alone; the folder of the page is an argument. */
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  publicDir: false,
  resolve: {
    alias: [
      { find: /^(preact|@preact\/signals|idb)(\/.*)?$/, replacement: `${here('./node_modules/')}$1$2` },
    ],
  },
  build: {
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    rollupOptions: { output: { codeSplitting: false } },
  },
})
