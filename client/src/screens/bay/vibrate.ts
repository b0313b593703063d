/** One strong shake for a stop; nothing else on the phone shakes. */
export function shake(): void {
  navigator.vibrate?.(400)
}
