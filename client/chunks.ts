/**
 * Which module goes into which chunk: by who reaches it without a dynamic import. Left to itself the bundler makes a
 * chunk of every set of rooms that share a module, some thirty of them; a phone asks for each.
 */
import { fileURLToPath } from 'node:url'
import type { Plugin } from 'vite'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

/** Where each part of the app begins: the first screen's, and what is imported when it is wanted. */
const BEGINS = {
  first: ['src/main.tsx'],
  drive: ['src/parts/drive.tsx'],
  enrol: ['src/screens/enrol.tsx', 'src/sync/enrol.ts'],
  sync: ['src/sync/index.ts'],
  bay: ['src/screens/bay/rest.ts'],
  around: ['src/screens/bay/around.ts'],
  camera: ['src/screens/bay/proofs/by-camera.ts'],
  instruments: ['src/screens/bay/proofs/instruments.ts'],
  office: ['src/screens/desk/index.tsx', 'src/screens/audit/index.tsx'],
  bench: ['src/screens/bench/index.tsx'],
}
type Part = keyof typeof BEGINS

type Reached = Record<Part, Set<string>>

/** The bay has it, and somebody else. */
const isShared = (id: string, { bay, around, camera, instruments, enrol, office }: Reached) =>
  reaching(id, bay, around, camera, instruments) > 0 && reaching(id, enrol, office) > 0

const reaching = (id: string, ...parts: Set<string>[]) => parts.filter((part) => part.has(id)).length

/** A module that more than one part reaches is in the first of these that takes it. */
const GROUPS: [name: string, takes: (id: string, by: Reached) => boolean][] = [
  ['first', (id, { first }) => first.has(id) || id.includes('rolldown/runtime')],
  ['sync', (id, { sync }) => sync.has(id)],
  ['parts', (id, by) => by.drive.has(id) || isShared(id, by)],
  ['bay', (id, { bay, around, camera }) => bay.has(id) || reaching(id, around, camera) > 1],
  ['around', (id, { around }) => around.has(id)],
  ['camera', (id, { camera }) => camera.has(id)],
  ['instruments', (id, { instruments }) => instruments.has(id)],
  ['enrol', (id, { enrol }) => enrol.has(id)],
  ['office', (id, { office }) => office.has(id)],
  ['bench', (id, { bench }) => bench.has(id)],
]

export function chunks(): {
  plugin: Plugin
  groups: { name: string; test: (id: string) => boolean; priority: number }[]
} {
  let reached: Reached | null = null
  const plugin: Plugin = {
    name: 'chunks',
    apply: 'build',
    buildEnd() {
      const closure = (begins: readonly string[]) => {
        const found = new Set<string>()
        const waiting = begins.map(here)
        for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
          if (found.has(id)) continue
          found.add(id)
          waiting.push(...(this.getModuleInfo(id)?.importedIds ?? []))
        }
        return found
      }
      const parts = Object.entries(BEGINS).map(([part, begins]) => [part, closure(begins)])
      reached = Object.fromEntries(parts) as Reached
    },
  }
  const groups = GROUPS.map(([name, takes], i) => ({
    name,
    test: (id: string) => reached !== null && takes(id, reached),
    priority: GROUPS.length - i,
  }))
  return { plugin, groups }
}
