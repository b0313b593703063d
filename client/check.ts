/**
 * Builds the page that checks bags: one file with all it needs in it, so that it can be saved and opened from the disk. It
 * may load and send nothing (Content Security Policy 3): of scripts and styles it runs those alone whose hash it names.
 */
import { createHash } from 'node:crypto'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build, type Plugin, type Rollup } from 'vite'
import { noticesOf } from './notices.ts'
import { title } from './src/words/en/check/index.ts'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))
export const CHECK_PAGE = 'check.html'

/** Beside the app, before the service worker learns of all files. */
export function checkPage(outDir: string): Plugin {
  return {
    name: 'check-page',
    apply: 'build',
    async writeBundle() {
      const { output } = (await build({
        configFile: false,
        publicDir: false,
        logLevel: 'warn',
        oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
        build: {
          write: false,
          target: 'es2022',
          cssCodeSplit: false,
          rollupOptions: { input: here('src/screens/check/main.tsx'), output: { format: 'iife' } },
        },
      })) as Rollup.RollupOutput
      const script = output.flatMap((one) => (one.type === 'chunk' ? [one.code] : [])).join('')
      const modules = output.flatMap((one) => (one.type === 'chunk' ? one.moduleIds : []))
      const styles = output.flatMap((one) =>
        one.type === 'asset' && one.fileName.endsWith('.css') ? [String(one.source)] : [],
      )
      writeFileSync(join(outDir, CHECK_PAGE), page(script, styles.join(''), modules))
    },
  }
}

const hashed = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`

/** The page leaves by itself, so it brings along what the licences of others ask for in each copy. */
const licences = (modules: readonly string[]): string =>
  noticesOf(modules)
    .map(({ name, version, license, text }) => `${name} ${version}, ${license}\n\n${text.trim()}`)
    .join('\n\n')
    .replaceAll('--', '- -') // would end the comment

function page(script: string, styles: string, modules: readonly string[]): string {
  if (/<\/(script|style)/i.test(script + styles)) throw new Error('a part of the page would end it')
  const policy = [
    "default-src 'none'",
    `script-src ${hashed(script)}`,
    `style-src ${hashed(styles)}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
  return `<!doctype html>
<!--
Two Turns, the page that checks evidence bags. Apache License, Version 2.0. In it is also:

${licences(modules)}
-->
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${styles}</style>
</head>
<body>
<div id="app"></div>
<script>${script}</script>
</body>
</html>
`
}
