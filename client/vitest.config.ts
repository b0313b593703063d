/** The tests live in ../tests/client, outside this package: bare imports there resolve to this package's modules. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
const TESTS = here('../tests/client')

/**
 * What changes modules, or a class that all use, for whoever comes next or still has a timer, has a process of its own.
 * The others share their modules: to load them anew for each file took as long as all tests do.
 */
const CHANGES_WHAT_OTHERS_USE =
  /\bvi\.(mock|resetModules)\(|^vi\.stubGlobal\(|vi\.spyOn\((\w+\.prototype|globalThis|indexedDB|performance),/m
const alone = readdirSync(TESTS)
  .filter(
    (name) =>
      name.endsWith('.test.ts') && CHANGES_WHAT_OTHERS_USE.test(readFileSync(`${TESTS}/${name}`, 'utf8')),
  )
  .map((name) => `**/${name}`)

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
    dir: TESTS,
    environment: 'node',
    testTimeout: 30_000, // only ends one that waits for ever: other tests run beside these
    restoreMocks: true,
    projects: [
      { extends: true, test: { name: 'alone', include: alone, isolate: true, unstubGlobals: false } },
      {
        extends: true,
        test: {
          name: 'together',
          include: ['**/*.test.ts'],
          exclude: alone,
          isolate: false,
          unstubGlobals: true,
        },
      },
    ],
  },
})
