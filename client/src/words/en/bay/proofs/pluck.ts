/** What `screens/bay/proofs/pluck.tsx` says. */

export const target = ', target {target}'
export const back = 'back'
export const listen = 'Listen'
export const allowTheMicrophone = 'allow the microphone'
export const opensTheMicrophone = 'opens the microphone'
export const engineFanAndCompressorOff = 'Engine, fan and compressor off.'
export const phoneWithinAHandsBreadth = "The phone within a hand's breadth of the middle of the span."
export const fingerOrARag = 'A finger or a rag on the span beside it.'
export const pluckThreeTimesWithTwo = 'Pluck three times, with two seconds of quiet between.'
export const ofEachPluckTwoSeconds =
  'Of each pluck two seconds of sound are kept with the reading, voices and all.'
export const pluckTheSpan = 'Pluck the span'
export const pluckItAgain = 'Pluck it again'
export const andOnceMore = 'And once more'
export const stop = 'stop'
export const of3 = '{taken} of 3'
export const itListens = 'it listens'
export const of3InARow = '{farInARow} of 3 in a row; the third ends it.'
export const limitIsNearerThan =
  'A limit is nearer than that: the belt may be just outside. Set it further inside if the tensioner allows it.'
export const limitIsNearerThanJustInside =
  'A limit is nearer than that: the belt may be just inside. Measure again before anything is turned.'
export const again = 'again'
export const measureAgain = 'Measure again'
export const middleOfTheyLieApart =
  'The middle of {hz}. They lie {apart} % apart. True to {percent} %, ±{off} Hz.'
export const stepCannotBePainted = 'The step cannot be painted with this note.'
export const ifItStaysSo =
  "If it stays so, the key 'it is not like that' leads to what is wrong and what to do."
export const ifItStaysSoAdd = 'If it stays so, add a note for the owner.'
export const anotherWay = 'another way'
export const listenAgain = 'Listen again'
export const whenItIsMended = 'when it is mended'
export const cannotTell = 'Cannot tell'
export const nothingIsKeptOfThis = 'Nothing is kept of this.'
