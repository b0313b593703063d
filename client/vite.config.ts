/**
 * Builds the app into the Python package, and after it the service worker, which must know every
 * file of the app and its hash. One chunk: a chunk loaded later could be gone after an update.
 */
import { createHash } from 'node:crypto'
import { readFileSync, readdirSync } from 'node:fs'
import { join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build, defineConfig, type Plugin } from 'vite'
import { notices } from './notices.ts'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
const outDir = here('../server/twoturns/static')

const sha256 = (bytes: Buffer | string) => createHash('sha256').update(bytes).digest('hex')

/** Every file of the app as [address, hash], sorted: the same build gives the same worker. */
function filesOf(folder: string): [string, string][] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((found) => found.isFile() && found.name !== 'sw.js' && !found.name.startsWith('.'))
    .map((found) => join(found.parentPath, found.name))
    .map((path): [string, string] => {
      const name = relative(folder, path).replaceAll('\\', '/')
      return [name === 'index.html' ? '/' : `/${name}`, sha256(readFileSync(path))]
    })
    .sort(([one], [other]) => (one < other ? -1 : 1))
}

function serviceWorker(): Plugin {
  return {
    name: 'service-worker',
    apply: 'build',
    // Not closeBundle: that runs after a failed build too, and would hide why it failed.
    async writeBundle() {
      const files = JSON.stringify(filesOf(outDir))
      await build({
        configFile: false,
        publicDir: false,
        logLevel: 'warn',
        define: { __FILES__: files, __VERSION__: JSON.stringify(sha256(files).slice(0, 16)) },
        build: {
          outDir,
          emptyOutDir: false,
          target: 'es2022',
          rollupOptions: {
            input: here('src/worker.ts'),
            output: { format: 'iife', entryFileNames: 'sw.js' },
          },
        },
      })
    },
  }
}

const { inWorker, inPage } = notices()

/** Where a workshop is served that `npm run dev` shows: the demo, or what is named here. */
const WORKSHOP = process.env.TWOTURNS_WORKSHOP ?? 'http://127.0.0.1:8438'

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [inPage, serviceWorker()],
  worker: { plugins: () => [inWorker] },
  // The page's own address is passed on as Host and Origin: on loopback the session's cookie is plain.
  server: { port: 5173, strictPort: true, proxy: { '/api': WORKSHOP } },
  build: {
    outDir,
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0, // the content security policy allows no data: address
    rollupOptions: {
      output: { codeSplitting: false },
      // A sentence stands where it is said, not in a variable of its own: 8 kB less of 184 (gzip).
      optimization: { inlineConst: { mode: 'all', pass: 2 } },
    },
  },
})
