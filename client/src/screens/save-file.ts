/** Hand bytes to the browser as a file of the phone or the desk. */
export function saveFile(bytes: Blob, name: string): void {
  const url = URL.createObjectURL(bytes)
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  URL.revokeObjectURL(url)
}
