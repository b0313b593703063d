/** Chosen: long enough for a browser that asks where the file is to go, and begins to read only then. */
const HELD_MS = 60_000

/** Hand bytes to the browser as a file of the phone or the desk. */
export function saveFile(bytes: Blob, name: string): void {
  const url = URL.createObjectURL(bytes)
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(url), HELD_MS)
}
