/** What `screens/desk/held-back.ts` says. */

export const entriesHeld =
  '{entries, plural, one {# entry} other {# entries}} of {devices, plural, one {a revoked device} other {# revoked devices}} held back for your word'
