/** The disk's worker: takes one call after the other and answers each by its number. */
import type { Folder } from './disk'
import type { Asked, Told } from './remote'
import { Files } from './files'

declare const self: DedicatedWorkerGlobalScope

const root = () => navigator.storage.getDirectory() as Promise<unknown> as Promise<Folder>
const files = new Files(root, self.name)
let turn: Promise<unknown> = Promise.resolve()

async function answer({ id, call, args }: Asked): Promise<Told> {
  try {
    const act = files[call] as (...given: unknown[]) => Promise<unknown>
    return { id, value: await act.apply(files, args) }
  } catch (error) {
    const { name, message } = error as Error
    return { id, failed: { name, message } }
  }
}

self.addEventListener('message', ({ data }: MessageEvent<Asked>) => {
  turn = turn.then(async () => self.postMessage(await answer(data)))
})
