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
  drive: ['src/parts/drive-now.tsx'],
  drawings: ['src/parts/drawings.tsx'],
  enrol: ['src/screens/enrol.tsx', 'src/sync/enrol.ts'],
  sync: ['src/sync/index.ts'],
  bay: ['src/screens/bay/rest.ts'],
  around: ['src/screens/bay/around.ts', 'src/screens/bay/proofs/adaptor.tsx', 'src/store/exporting.ts'],
  lookup: ['src/screens/bay/look-up.ts'],
  found: ['src/screens/bay/found.ts'],
  call: ['src/screens/bay/enquiry/index.ts'],
  camera: ['src/screens/bay/proofs/by-camera.ts'],
  pictures: ['src/screens/bay/step-picture.tsx'],
  instruments: ['src/screens/bay/proofs/instruments.ts'],
  desk: ['src/screens/desk/index.tsx'],
  audit: ['src/screens/audit/index.tsx'],
  photos: ['src/screens/photos/index.tsx', 'src/screens/record/photo-viewer.tsx'],
  customer: ['src/screens/paper/customer.tsx'],
  paper: ['src/screens/paper/index.tsx'],
  bench: ['src/screens/bench/index.tsx'],
}
type Part = keyof typeof BEGINS

type Reached = Record<Part, Set<string>>

/** The bay has it, and somebody else. */
const isShared = (
  id: string,
  { bay, around, camera, instruments, found, enrol, desk, audit, photos }: Reached,
) => reaching(id, bay, around, camera, instruments, found) > 0 && reaching(id, enrol, desk, audit, photos) > 0

/** What stands beside the work in the bay and at a desk: the straight work evaluates none of it. */
const isBeside = (
  id: string,
  { bay, camera, instruments, enrol, around, call, found, desk, audit, photos }: Reached,
) =>
  reaching(id, bay, camera, instruments, enrol) === 0 &&
  reaching(id, around, call, found) > 0 &&
  reaching(id, desk, audit, photos) > 0

const reaching = (id: string, ...parts: Set<string>[]) => parts.filter((part) => part.has(id)).length

/** A module that more than one part reaches is in the first of these that takes it. */
const GROUPS: [name: string, takes: (id: string, by: Reached) => boolean][] = [
  ['first', (id, { first }) => first.has(id) || id.includes('rolldown/runtime')],
  // A customer has no app: what that page takes comes with nothing else of it.
  ['customer', (id, { customer }) => customer.has(id)],
  ['sync', (id, { sync }) => sync.has(id)],
  ['drive', (id, { drive }) => drive.has(id)],
  ['parts', (id, by) => isShared(id, by) && !isBeside(id, by)],
  ['bay', (id, { bay, around, camera }) => bay.has(id) || reaching(id, around, camera) > 1],
  ['beside', isBeside], // after what it leans on: a group takes that along where nobody has it yet
  ['around', (id, { around }) => around.has(id)],
  ['call', (id, { call }) => call.has(id)],
  ['camera', (id, { camera }) => camera.has(id)],
  ['drawings', (id, { drawings }) => drawings.has(id)],
  ['pictures', (id, { pictures }) => pictures.has(id)],
  ['instruments', (id, { instruments }) => instruments.has(id)],
  ['enrol', (id, { enrol }) => enrol.has(id)],
  ['lookup', (id, { lookup }) => lookup.has(id)],
  ['found', (id, { found }) => found.has(id)],
  ['office', (id, { desk, audit, photos }) => reaching(id, desk, audit, photos) > 1],
  ['paper', (id, { paper }) => paper.has(id)],
  ['office', (id, { desk, audit }) => reaching(id, desk, audit) > 1],
  ['desk', (id, { desk }) => desk.has(id)],
  ['audit', (id, { audit }) => audit.has(id)],
  ['photos', (id, { photos }) => photos.has(id)],
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
