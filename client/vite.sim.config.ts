/** Builds the Node process of the fault simulation (tests/faults/sim), which lives outside this package. */
import { fileURLToPath } from 'node:url'
import { defineConfig, type Plugin } from 'vite'
import { planted } from '../tests/faults/sim/plants'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

/** With PLANTS in the environment the phone's code carries faults, each to be switched on in a run. */
const plants: Plugin = {
  name: 'plants',
  enforce: 'pre',
  transform: (source, path) => (process.env.PLANTS ? planted(path, source) : null),
}

export default defineConfig({
  publicDir: false,
  plugins: [plants],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  resolve: {
    alias: [
      { find: /^@client\//, replacement: here('./src/') },
      // One copy of the double: its `lib` is another than what `auto` puts in place.
      {
        find: /^fake-indexeddb\/lib\/(.*)$/,
        replacement: `${here('./node_modules/')}fake-indexeddb/build/esm/$1.js`,
      },
      { find: /^fake-indexeddb\/auto$/, replacement: here('./node_modules/fake-indexeddb/auto/index.mjs') },
      { find: /^(idb|@preact\/signals)(\/.*)?$/, replacement: `${here('./node_modules/')}$1$2` },
    ],
  },
  ssr: { noExternal: true },
  build: {
    ssr: here('../tests/faults/sim/main.ts'),
    outDir: '.peer',
    emptyOutDir: true,
    minify: false,
    target: 'node20',
    // One file: a chunk that Node reads is waited for by no clock of the simulation.
    rollupOptions: { output: { codeSplitting: false } },
  },
})
