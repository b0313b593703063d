/** The tests live in ../tests/client, outside this package: bare imports there resolve to this package's modules. */
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact', development: false } },
  resolve: {
    alias: [
      { find: /^@client\//, replacement: here('./src/') },
      {
        find: /^(vitest|fake-indexeddb|intl-messageformat|vite|preact|@preact\/signals|idb)(\/.*)?$/,
        replacement: `${here('./node_modules/')}$1$2`,
      },
    ],
  },
  test: {
    dir: here('../tests/client'),
    include: ['**/*.test.ts', '**/*.test.tsx'],
    environment: 'node',
    testTimeout: 30_000, // only ends one that waits for ever: other tests run beside these
  },
})
