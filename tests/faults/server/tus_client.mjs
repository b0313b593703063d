/**
 * An upload by tus-js-client, which knows nothing of us: one JSON command in, what came of it out.
 *
 * `cut`: the line is broken off after so many bytes, then the upload is begun anew and goes on.
 * `checksum`: sent as `Upload-Checksum` with every piece.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'

const { client, endpoint, cookie, file, sha256, piece, cut, checksum } = JSON.parse(process.argv[2])
const tus = createRequire(`${client}/package.json`)('tus-js-client')
const bytes = readFileSync(file)
const asked = []

function upload(onProgress) {
  return new Promise((resolve) => {
    const one = new tus.Upload(bytes, {
      endpoint,
      chunkSize: piece,
      retryDelays: [0, 50, 100],
      metadata: { sha256 },
      headers: { Cookie: cookie },
      onBeforeRequest: (request) => {
        if (checksum && request.getMethod() === 'PATCH') request.setHeader('Upload-Checksum', checksum)
      },
      onAfterResponse: (request, answer) => {
        asked.push([request.getMethod(), answer.getStatus()])
      },
      onProgress: (sent) => onProgress?.(sent, one, resolve),
      onError: (error) => resolve(`failed ${error.originalResponse?.getStatus() ?? 'without an answer'}`),
      onSuccess: () => resolve('done'),
    })
    one.start()
  })
}

let ended = ''
if (cut) {
  let isCut = false
  ended = await upload((sent, one, resolve) => {
    if (sent < cut || isCut) return
    isCut = true
    void one.abort().then(() => resolve('cut'))
  })
}
const result = await upload()
process.stdout.write(JSON.stringify({ first: ended, result, asked }))
process.exit(0)
