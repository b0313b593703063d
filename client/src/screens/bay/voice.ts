/** Reads a step aloud where the phone has a voice. The words are always on the screen as well. */
import { useEffect } from 'preact/hooks'

const voice = (): SpeechSynthesis | undefined => window.speechSynthesis as SpeechSynthesis | undefined

export const canSay = (): boolean => voice() !== undefined

export function say(words: string): void {
  const speaker = voice()
  if (!speaker) return
  speaker.cancel()
  const spoken = new SpeechSynthesisUtterance(words)
  spoken.lang = document.documentElement.lang
  speaker.speak(spoken)
}

/** Nothing is read on of a step that was left for another, or for no step at all. */
export function useHushAfter(step: string): void {
  useEffect(() => () => voice()?.cancel(), [step])
}
