/** What the differential tests call in this room. Bags are named by their path: too large for a line. */
import { open, type FileHandle } from 'node:fs/promises'
import type { PeerFunctions } from '../peer'
import { isMany, verifyMany } from './many'
import { draw } from './sample'
import { Sha256 } from './sha256'
import { verifyBag, type Held } from './verify'
import type { Source } from './zip'

async function withFile<T>(path: string, act: (source: Source) => Promise<T>): Promise<T> {
  const file = await open(path)
  try {
    return await act(await sourceOf(file))
  } finally {
    await file.close()
  }
}

async function sourceOf(file: FileHandle): Promise<Source> {
  const { size } = await file.stat()
  return {
    size,
    read: async (start, end) => {
      const bytes = new Uint8Array(Math.max(0, Math.min(end, size) - start))
      const { bytesRead } = await file.read(bytes, 0, bytes.length, start)
      return bytes.subarray(0, bytesRead)
    },
  }
}

export const peerFunctions: PeerFunctions = {
  verifyBag: (path: string, held: Held) => withFile(path, (source) => verifyBag(source, held)),
  verifyMany: (path: string, held: Held) => withFile(path, (source) => verifyMany(source, held)),
  isMany: (path: string) => withFile(path, isMany),
  draw,
  sha256InPieces: (data: string, sizes: number[]) => {
    const digest = new Sha256()
    const bytes = Uint8Array.from(data.match(/../g) ?? [], (pair) => parseInt(pair, 16))
    let at = 0
    for (const size of sizes) digest.add(bytes.subarray(at, (at += size)))
    digest.add(bytes.subarray(at))
    return digest.end()
  },
}
