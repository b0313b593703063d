/** What stands around the app: its page, and its manifest (W3C Web Application Manifest), with words out of the catalogue. */
import type { Plugin } from 'vite'
import { shell as words } from './src/shell.ts'

const MANIFEST = 'manifest.webmanifest'

const mark = (pixels: number, name: string, purpose = 'any') => ({
  src: `/${name}.png`,
  sizes: `${pixels}x${pixels}`,
  type: 'image/png',
  purpose,
})

const manifest = {
  name: words.name,
  short_name: words.name,
  description: words.whatItIs,
  id: '/',
  start_url: '/',
  scope: '/',
  display: 'standalone',
  background_color: '#E6ECE7',
  theme_color: '#0E1F1B',
  icons: [
    { src: '/mark.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
    mark(192, 'mark-192'),
    mark(512, 'mark-512'),
    mark(512, 'mark-maskable-512', 'maskable'),
  ],
}

/** Put words where the page names them as `{whatItIs}`: inside of texts, which none of their signs may end. */
function filled(page: string): string {
  return page.replaceAll(/\{(\w+)\}/g, (place, key: string) => {
    if (!(key in words)) throw new Error(`no words for ${place}`)
    const said = words[key as keyof typeof words]
    if (/["<&]/.test(said)) throw new Error(`a sign in ${place} that no attribute may hold`)
    return said
  })
}

export function shell(): Plugin {
  const source = JSON.stringify(manifest, null, 2)
  return {
    name: 'shell',
    transformIndexHtml: { order: 'pre', handler: filled },
    generateBundle() {
      this.emitFile({ type: 'asset', fileName: MANIFEST, source })
    },
    configureServer({ middlewares }) {
      middlewares.use(`/${MANIFEST}`, (_, answer) => answer.end(source))
    },
  }
}
