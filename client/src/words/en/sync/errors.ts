/** What `sync/errors.ts` says. */

export const wrongSignature = "{what} is not signed with this workshop's key."
export const wrongSignatureHint =
  'Compare the fingerprint with the one on paper. What {at, select, desk {this device} other {this phone}} holds stays here.'
export const unproven = 'The workshop names records and does not prove that it keeps them.'
export const unprovenHint =
  'Tell the owner. What {at, select, desk {this device} other {this phone}} holds stays here and is sent again.'
export const keyRecovered =
  "The workshop's key was lost or stolen, and the owner has put a new one in its place."
export const keyRecoveredHint =
  '{at, select, desk {This device} other {This phone}} goes on with the new key. What the old one said after the place that the owner trusts counts no more; photos that only it had acknowledged are sent again.'
export const rewound = 'The workshop no longer has all that it had signed for.'
export const rewoundHint =
  'Keep {at, select, desk {this device} other {this phone}} as it is and near the workshop: it sends everything it holds again. Tell the owner.'
export const forked = 'The workshop shows two different histories.'
export const forkedHint =
  'Tell the owner and the auditor. What {at, select, desk {this device} other {this phone}} holds stays here.'
export const deviceRevoked = 'The owner has withdrawn {at, select, desk {this device} other {this phone}}.'
export const deviceRevokedHint =
  'Ask the owner. What was written here is still sent, and held back until the owner accepts it. What the workshop does not take stays on {at, select, desk {this device} other {this phone}}: write it to a file, under where it all is.'
export const deviceShut = 'The owner has shut {at, select, desk {this device} other {this phone}} out.'
export const deviceShutHint =
  'Ask the owner. Nothing more is sent from here: write it to a file, which the owner may take in at the workshop’s computer.'
export const accessOver = 'The time that this auditor was given is over.'
export const accessOverHint =
  'Ask the owner for a new invitation. What was written here stays here until then.'
