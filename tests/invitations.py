"""An invitation's link, read by hand: on a phone `client/src/ledger/invitation.ts` reads it."""

import json
from base64 import urlsafe_b64decode

from twoturns.ledger.roster import Invitation


def invitation_in(text: str) -> Invitation:
    """Read what stands behind `#invite=` (formats.md, section 4)."""
    said = json.loads(_decoded(text))
    assert said.pop("v") == 1
    return Invitation(**said | {"secret": _decoded(said["secret"])})


def _decoded(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))
