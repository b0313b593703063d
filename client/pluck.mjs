/** Runs src/instruments/pluck-cli.ts: bundled in memory, because not every Node that builds the app runs TypeScript. */
import { fileURLToPath } from 'node:url'
import { rolldown } from 'rolldown'

const input = fileURLToPath(new URL('src/instruments/pluck-cli.ts', import.meta.url))
const bundle = await rolldown({ input, platform: 'node' })
const { output } = await bundle.generate({ format: 'esm', comments: false })
const { main } = await import(`data:text/javascript,${encodeURIComponent(output[0].code)}`)
process.exitCode = main(process.argv.slice(2))
