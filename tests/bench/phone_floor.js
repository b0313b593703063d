/**
 * The floor of a tap: what the app's own store takes to keep an act that is signed already, and nothing else. Its
 * photos as files, the journal, one strict transaction, all of it read back. In a database of its own, on a bare page.
 */
import { generateKey } from '@/ledger/keys'
import { Database } from '@/store/database'
import { keep } from '@/store/keep'
import { photoFile } from '@/store/photo-files'
import { browserDisk } from '@/store/remote'
import { ActInWriting } from '@/store/writing'

const HOLD_MS = 600
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
const around = { now: () => new Date(), random, photoFile: (photo) => photoFile(photo, async () => null) }

function picture(bytes, nth) {
  const grain = new Uint8Array(bytes)
  crypto.getRandomValues(grain.subarray(0, 1024))
  return new Blob([grain, String(nth)], { type: 'image/jpeg' })
}

/** A reading, or a photo of so many bytes; where it seals, its step is done by it. */
async function actOf(device, before, { size, seals }) {
  const writing = new ActInWriting(JOB, device, around, before)
  const first = size > 0 ? await photo(writing, size, before.seq) : await reading(writing)
  if (seals) await writing.entry('step.done', { step: 'the_step', proof: [first] })
  return writing.whole()
}

const reading = (writing) =>
  writing.entry('reading.taken', { step: 'the_step', name: 'figure', value: '12.5', unit: 'N·m' })

async function photo(writing, size, nth) {
  const bytes = picture(size, nth)
  const blob = await writing.photo(bytes)
  const what = { blob, size: bytes.size, type: 'image/jpeg', width: 4000, height: 3000, how: 'picked' }
  return writing.entry('photo.taken', { step: 'the_step', name: 'photo', ...what })
}

/** Milliseconds of one act for each of these: bytes of its photo, 0 for none, and whether it seals. */
window.floor = async (acts) => {
  const ignore = () => undefined
  const db = new Database('floor', { failed: ignore, lost: ignore, letGo: ignore, unblocked: ignore })
  const disk = browserDisk('floor')
  await disk.openJournal()
  const { key, thumbprint: id, secret } = await generateKey()
  const device = { key, id, secret, workshop: 'A'.repeat(43), person: JOB }
  const told = []
  let before = { seq: 0, heads: [] }
  for (const said of acts) {
    const act = await actOf(device, before, said)
    const from = performance.now()
    await keep(db, disk, act)
    told.push(performance.now() - from)
    before = { seq: before.seq + act.entries.length, heads: [act.entries.at(-1).id] }
  }
  return told
}
