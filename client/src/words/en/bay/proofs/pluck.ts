/** What `screens/bay/proofs/pluck.tsx` says. */

export const windowAndTarget = '{window}, target {target}'
export const listen = 'Listen'
export const allowTheMicrophone = 'allow the microphone'
export const opensTheMicrophone = 'opens the microphone'
export const engineOff = 'Engine, fan and compressor off.'
export const phoneNear = "The phone within a hand's breadth of the middle of the span."
export const fingerBeside = 'A finger or a rag on the span beside it.'
export const pluckThrice = 'Pluck three times, with two seconds of quiet between.'
export const soundKept = 'Of each pluck two seconds of sound are kept with the reading, voices and all.'
export const pluckTheSpan = 'Pluck the span'
export const pluckItAgain = 'Pluck it again'
export const andOnceMore = 'And once more'
export const stop = 'stop'
export const ofThree = '{taken} of 3'
export const itListens = 'it listens'
export const farInARow = '{farInARow} of 3 in a row; the third ends it.'
export const maybeOutside =
  'A limit is nearer than that: the belt may be just outside. Set it further inside if the tensioner allows it.'
export const maybeInside =
  'A limit is nearer than that: the belt may be just inside. Measure again before anything is turned.'
export const again = 'again'
export const measureAgain = 'Measure again'
export const howTrue = 'The middle of {hz}. They lie {apart} % apart. True to {percent} %, ±{off} Hz.'
export const notSigned = 'The step cannot be signed with this note.'
export const ifSoFailKey =
  "If it stays so, the key 'it is not like that' leads to what is wrong and what to do."
export const ifSoNote = 'If it stays so, add a note for the owner.'
export const listenAgain = 'Listen again'
export const whenItIsMended = 'when it is mended'
export const cannotTell = 'Cannot tell'
export const nothingKept = 'Nothing is kept of this.'
