/**
 * Whether a choice or a count has room on its step's own screen, at 360 x 740 and the usual size of text; with larger text that
 * screen scrolls. Pixels and letters to a line as they were measured there.
 */
import type { Proof, Step } from '../procedure/bundle'

/** What head band, deck and the field's own edges leave. */
const FIELD = 469
const GAP = 10
const TITLE = 33
const TITLE_LETTERS = 28
const LINE = 23
const LETTERS = 39
const LETTERS_BESIDE_SIGN = 27
const LABEL = 25
const ROW = 62
const ROW_LETTERS = 32
const GIVEN = 64
const COUNTER = 98
/** Chosen: above this many a count is typed: nobody presses a key a hundred times. */
export const MOST_PRESSED = 20
/** What a step with a reason says behind its last sentence. */
const WHY = 5

/** Less than this of a drawing says nothing. */
export const LEAST_DRAWN = 74
/** Less than this of the drive, or of its writer's own picture, is not read. */
const LEAST_SEEN = 170

const lines = (text: string, letters: number) => Math.ceil(text.length / letters)
const sum = (heights: readonly number[]) => heights.reduce((all, one) => all + one, 0)

type Shown = Pick<Step, 'title' | 'says' | 'because' | 'caution' | 'look' | 'drawn' | 'picture'>

/** Whether a count is pressed, one press a thing: above that it is typed, and what stands in a list is ticked. */
export const isPressed = ({ kind, of, target }: Proof): boolean =>
  kind === 'count' && of === undefined && Number(target) <= MOST_PRESSED

/** The height of what is tapped; null where that never stands on the step's own screen. */
function heightOfAnswers(proof: Proof): number | null {
  if (isPressed(proof)) return proof.hint === undefined ? COUNTER : null
  if (proof.kind !== 'choice') return null
  return sum((proof.options ?? []).map((row) => Math.max(ROW, lines(row.says, ROW_LETTERS) * LINE + 20) + 8))
}

/**
 * @param signed what else its hold signs, which is shown there too
 * @param given how many proofs of the step stand there as given
 * @returns the height that is left for a drawing; null where it has a screen of its own
 */
export function roomBeside(
  step: Shown,
  proof: Proof,
  signed: readonly string[],
  given: number,
): number | null {
  const answers = heightOfAnswers(proof)
  if (answers === null) return null
  const { title, says, because, caution, look, drawn, picture } = step
  const sentences = says.map((sentence, at) =>
    because !== undefined && at === says.length - 1 ? sentence.padEnd(sentence.length + WHY) : sentence,
  )
  const words = sum(sentences.map((sentence) => lines(sentence, LETTERS) * LINE + 6))
  const warned = caution ? Math.max(46, lines(caution.says, LETTERS_BESIDE_SIGN) * LINE) + GAP : 0
  const sealed = signed.length > 0 ? (lines(signed.join('; '), LETTERS) + 1) * LINE + GAP : 0
  const asked = lines(proof.label, LETTERS) * LABEL + answers + sealed
  const left = FIELD - lines(title, TITLE_LETTERS) * TITLE - words - warned - asked - given * GIVEN - 2 * GAP
  const needed = picture || (!drawn && look.length > 0) ? LEAST_SEEN : 0
  return left >= needed ? left : null
}
