/**
 * The floor of a tap: what the app's own store takes to keep an act that is signed already, and nothing else. Its
 * photos as files, the journal, one strict transaction, all of it read back. In a database of its own, on a bare page.
 * Beside it the same with what no app can leave out: its signatures, and one frame that shows it kept.
 */
import { generateKey } from '@/ledger/keys'
import { Database } from '@/store/database'
import { keep } from '@/store/keep'
import { photoFile } from '@/store/photo-files'
import { browserDisk } from '@/store/remote'
import { ActInWriting } from '@/store/writing'

const HOLD_MS = 600
const FRAME_MS = 17
const JOB = '01890a5d-ac96-774b-bcce-b302099a8057'

// Empty taps: each key is marked as soon as it was held or tapped, and nothing was written.
document.body.innerHTML = `<main class="bay"><h1>Floor</h1><button class="key-hold">Hold</button>
  <button class="key-keep">Keep</button>
  <div aria-label="Tool board"><button aria-pressed="false">Tool</button></div></main>`
const [hold, keepKey, tool] = document.querySelectorAll('button')
hold.addEventListener('pointerdown', () => {
  hold.classList.remove('painted')
  setTimeout(() => hold.classList.add('painted'), HOLD_MS)
})
keepKey.addEventListener('pointerdown', () => keepKey.classList.remove('kept'))
keepKey.addEventListener('click', () => keepKey.classList.add('kept'))
tool.addEventListener('click', () => tool.setAttribute('aria-pressed', tool.ariaPressed !== 'true'))

const random = (bytes) => crypto.getRandomValues(new Uint8Array(bytes))

/** A photo of so many bytes, made ready as the app does it before its key is tapped; null for none. */
async function shotOf(bytes) {
  if (bytes === 0) return null
  const grain = new Uint8Array(bytes)
  grain.set(random(1024))
  const picture = new Blob([grain], { type: 'image/jpeg' })
  return { picture, file: await photoFile(picture, async () => null) }
}

/** A reading, or a photo; where it seals, its step is done by it. */
async function actOf(device, before, shot, seals) {
  const around = { now: () => new Date(), random, photoFile: async () => shot.file }
  const writing = new ActInWriting(JOB, device, around, before)
  const first = shot ? await photo(writing, shot) : await reading(writing)
  if (seals) await writing.entry('step.done', { step: 'the_step', proof: [first] })
  return writing.whole()
}

const reading = (writing) =>
  writing.entry('reading.taken', { step: 'the_step', name: 'figure', value: '12.5', unit: 'N·m' })

async function photo(writing, { picture }) {
  const blob = await writing.photo(picture)
  const what = { blob, size: picture.size, type: 'image/jpeg', width: 4000, height: 3000, how: 'picked' }
  return writing.entry('photo.taken', { step: 'the_step', name: 'photo', ...what })
}

/** The key's mark, and the frame that it is painted in. */
function shown() {
  keepKey.classList.toggle('kept')
  return new Promise((done) =>
    requestAnimationFrame(() => scheduler.postTask(done, { priority: 'user-blocking' })),
  )
}

/** Milliseconds of one act for each of these (bytes of its photo, 0 for none, and whether it seals), kept and whole. */
window.floor = async (acts) => {
  const ignore = () => undefined
  const db = new Database('floor', { failed: ignore, lost: ignore, letGo: ignore, unblocked: ignore })
  const disk = browserDisk('floor')
  await disk.openJournal()
  const { key, thumbprint: id, secret } = await generateKey()
  const device = { key, id, secret, workshop: 'A'.repeat(43), person: JOB }
  const [kept, whole] = [[], []]
  let before = { seq: 0, heads: [] }
  const goOn = ({ entries }) => {
    before = { seq: before.seq + entries.length, heads: [entries.at(-1).id] }
  }
  for (const { size, seals } of acts) {
    const act = await actOf(device, before, await shotOf(size), seals)
    const from = performance.now()
    await keep(db, disk, act)
    kept.push(performance.now() - from)
    goOn(act)
    const shot = await shotOf(size)
    await new Promise((later) => setTimeout(later, Math.random() * FRAME_MS)) // a finger knows of no frame
    const began = performance.now()
    const signed = await actOf(device, before, shot, seals)
    await keep(db, disk, signed)
    await shown()
    whole.push(performance.now() - began)
    goOn(signed)
  }
  return { kept, whole }
}
