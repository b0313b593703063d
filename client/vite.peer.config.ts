/** Builds the Node process that the differential tests talk to: one JSON object a line in, one out. */
import { defineConfig } from 'vite'

export default defineConfig({
  publicDir: false,
  build: { ssr: 'src/peer.ts', outDir: '.peer', emptyOutDir: true, minify: false, target: 'node20' },
})
