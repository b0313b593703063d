/**
 * Builds the app into the Python package, after it the service worker, which must know every
 * file of the app and its hash, and then of each text a packed copy for whoever serves it.
 */
import { createHash } from 'node:crypto'
import { readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { basename, dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { brotliCompress, constants, gzip } from 'node:zlib'
import { build, defineConfig, type Plugin } from 'vite'
import { checkPage } from './check.ts'
import { chunks } from './chunks.ts'
import { notices } from './notices.ts'
import { shell } from './shell.ts'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
const outDir = here('../server/twoturns/static')

const sha256 = (bytes: Buffer | string) => createHash('sha256').update(bytes).digest('hex')

/** What no phone is given before it asks: the bench, with its editor, is for the desk and wants a line anyhow. */
const isAskedFor = (name: string) => /^assets\/bench-/.test(name)

/** Every file of the app as [address, hash], sorted: the same build gives the same worker. */
function filesOf(folder: string): [string, string][] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((found) => found.isFile() && found.name !== 'sw.js' && !found.name.startsWith('.'))
    .map((found) => join(found.parentPath, found.name))
    .map((path): [string, string] => [relative(folder, path).replaceAll('\\', '/'), path])
    .filter(([name]) => !isAskedFor(name))
    .map(([name, path]): [string, string] => [
      name === 'index.html' ? '/' : `/${name}`,
      sha256(readFileSync(path)),
    ])
    .sort(([one], [other]) => (one < other ? -1 : 1))
}

function serviceWorker(): Plugin {
  return {
    name: 'service-worker',
    apply: 'build',
    // Not closeBundle: that runs after a failed build too, and would hide why it failed. After the page that checks bags.
    writeBundle: { sequential: true, order: 'post', handler: () => buildWorker() },
  }
}

async function buildWorker(): Promise<void> {
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
}

/** What is not packed by its own format. */
const TEXT = /\.(css|html|js|svg|wasm|webmanifest)$/

/**
 * Beside each text its copies by brotli (RFC 7932) and gzip (RFC 1952): packed once, as small as they get, and not at
 * every request. Neither format carries a time here: the same build gives the same bytes.
 */
function packed(): Plugin {
  return {
    name: 'packed',
    apply: 'build',
    // Last, and after all others: the service worker is packed, too.
    writeBundle: { sequential: true, order: 'post', handler: () => packAll(outDir) },
  }
}

async function packAll(folder: string): Promise<void> {
  const found = readdirSync(folder, { recursive: true, withFileTypes: true })
  const texts = found.filter((one) => one.isFile() && TEXT.test(one.name))
  await Promise.all(texts.map(({ parentPath, name }) => pack(join(parentPath, name))))
}

/** By both at their best, which is brotli's by itself. */
async function pack(path: string): Promise<void> {
  const bytes = readFileSync(path)
  const params = { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length }
  writeFileSync(`${path}.br`, await promisify(brotliCompress)(bytes, { params }))
  writeFileSync(`${path}.gz`, await promisify(gzip)(bytes, { level: constants.Z_BEST_COMPRESSION }))
}

/**
 * The bundler's own help for dynamic imports waits for the styles and scripts that go with a chunk. Ours have none:
 * styles are one file, and `modulePreload` is off.
 */
function plainImports(): Plugin {
  const helper = '\0vite/preload-helper.js'
  return {
    name: 'plain-imports',
    apply: 'build',
    enforce: 'pre',
    load: (id) => (id === helper ? 'export const __vitePreload = (load) => load()' : null),
  }
}

const { inWorker, inPage } = notices()
const { plugin: findChunks, groups } = chunks()

/** Where a workshop is served that `npm run dev` shows: the demo, or what is named here. */
const WORKSHOP = process.env.TWOTURNS_WORKSHOP ?? 'http://127.0.0.1:8438'

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [findChunks, plainImports(), shell(), inPage, checkPage(outDir), serviceWorker(), packed()],
  worker: { plugins: () => [inWorker] },
  // The page's own address is passed on as Host and Origin: on loopback the session's cookie is plain.
  server: { port: 5173, strictPort: true, proxy: { '/api': WORKSHOP } },
  build: {
    outDir,
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: false,
    cssCodeSplit: false, // 7 kB packed, and no screen waits for its styles
    assetsInlineLimit: 0, // the content security policy allows no data: address
    rollupOptions: {
      output: {
        codeSplitting: { groups },
        // Rooms have an `index`, and would all be called so; the app's own first script is.
        chunkFileNames: ({ name, facadeModuleId }) =>
          `assets/${name === 'index' && facadeModuleId ? basename(dirname(facadeModuleId)) : name}-[hash].js`,
      },
      // A sentence stands where it is said, not in a variable of its own: 8 kB less of 184 (gzip).
      optimization: { inlineConst: { mode: 'all', pass: 2 } },
    },
  },
})
