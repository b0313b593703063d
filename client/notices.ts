/**
 * What the app bundles of others: a page of the app with their names and licences, and a list for
 * the bill of materials that goes into the package.
 *
 * Vite's own `build.license` knows neither fonts and wasm nor what is bundled into a worker.
 */
import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Plugin } from 'vite'

export interface Bundled {
  readonly name: string
  /** Of what a package was compiled with it does not say which. */
  readonly version?: string
  /** An SPDX expression. */
  readonly license: string
  readonly text: string
  /** Names the package of which this one is a compiled part. */
  readonly within?: string
}

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
const APACHE = here('../server/LICENSE')

/** Two plugins with one list: one for each worker's bundle, one for the page's, which comes last. */
export function notices(): { inWorker: Plugin; inPage: Plugin } {
  const folders = new Set<string>()
  const collect = (bundle: Parts) => {
    for (const path of Object.values(bundle).flatMap(sourcesOf)) {
      const folder = packageOf(path)
      if (folder) folders.add(folder)
    }
  }
  return {
    inWorker: {
      name: 'notices-in-worker',
      apply: 'build',
      generateBundle: (_, bundle) => collect(bundle),
    },
    inPage: {
      name: 'notices',
      enforce: 'post', // after the styles, which the page names
      apply: 'build',
      generateBundle(_, bundle) {
        collect(bundle)
        const found = [...folders].sort().flatMap(bundledFrom)
        const styles = Object.keys(bundle).find((name) => name.endsWith('.css')) ?? ''
        this.emitFile({ type: 'asset', fileName: 'licences.html', source: page(found, styles) })
        const list = found.map(({ text: _text, ...rest }) => rest)
        this.emitFile({ type: 'asset', fileName: '.bundled.json', source: JSON.stringify(list) })
      },
    },
  }
}

/** What modules of others, by their paths, ask for in each copy: names, licences and their texts. */
export function noticesOf(paths: readonly string[]): Bundled[] {
  const folders = new Set(paths.flatMap((path) => packageOf(path) ?? []))
  return [...folders].sort().flatMap(bundledFrom)
}

type Parts = Record<string, { moduleIds?: string[]; originalFileNames?: string[] }>

const sourcesOf = (part: Parts[string]) => [...(part.moduleIds ?? []), ...(part.originalFileNames ?? [])]

/** The folder of the package that a file belongs to, or null if it is our own. */
function packageOf(path: string): string | null {
  if (!path.includes('node_modules/') || path.startsWith('\0')) return null
  let folder = dirname(here(path))
  while (!isPackage(folder)) folder = dirname(folder)
  return folder
}

/** Some packages have a package.json without a name in their folders, for Node alone. */
const isPackage = (folder: string) =>
  existsSync(join(folder, 'package.json')) && 'version' in described(folder)

const described = (folder: string) => JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'))

function bundledFrom(folder: string): Bundled[] {
  const { name, version, license } = described(folder)
  const file = readdirSync(folder).find((found) => /^licen[cs]e/i.test(found))
  if (!license || !file) throw new Error(`${name} has no licence: it cannot go into the app`)
  const text = readFileSync(join(folder, file), 'utf8')
  return [{ name, version, license, text }, ...compiledInto(name, folder)]
}

/**
 * What is linked into the reader's WebAssembly beside it, as its strings say: a decoder of pictures, the C and
 * C++ runtimes and the compiler's own. The package brings none of their licences.
 */
const LINKED = [
  { name: 'stb_image', license: 'MIT' },
  { name: 'emscripten', license: 'MIT' },
  { name: 'musl', license: 'MIT' },
  { name: 'llvm', license: 'Apache-2.0 WITH LLVM-exception' },
] as const

/** The reader of codes is another project's, compiled: its licence is named in the package's README. */
function compiledInto(name: string, folder: string): Bundled[] {
  if (name !== 'zxing-wasm') return []
  const said = readFileSync(join(folder, 'dist', 'es', 'share.js'), 'utf8')
  const [, commit] = /"([0-9a-f]{40})"/.exec(said) ?? []
  if (!commit) throw new Error('zxing-wasm does not say of which zxing-cpp it is made')
  const text = readFileSync(APACHE, 'utf8')
  const linked = LINKED.map((one) => ({
    ...one,
    text: readFileSync(here(`licences/${one.name}.txt`), 'utf8'),
    within: name,
  }))
  return [{ name: 'zxing-cpp', version: commit, license: 'Apache-2.0', text, within: name }, ...linked]
}

const escaped = (text: string) => text.replace(/&/g, '&amp;').replace(/</g, '&lt;')

const section = ({ name, version, license, text, within }: Bundled) => `
<h2>${[name, version].filter(Boolean).join(' ')}</h2>
<p>${license}${within ? `, compiled into ${within}` : ''}</p>
<pre>${escaped(text.trim())}</pre>`

const page = (found: readonly Bundled[], styles: string) => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover">
<title>Two Turns: licences</title>
<link rel="stylesheet" href="/${styles}">
</head>
<body class="licences">
<p><a href="/">Back to Two Turns</a></p>
<h1>Licences</h1>
<p>Two Turns is under the Apache License, Version 2.0: its text is the one under zxing-cpp. In the app is also
this work of others, each under its own licence:</p>
${found.map(section).join('\n')}
</body>
</html>
`
