"""Keys and entries for tests. Seeds are fixed, so that runs repeat."""

from typing import Any

from twoturns.ledger import base64url, canonical, entry, keys
from twoturns.ledger.entry import Entry
from twoturns.ledger.keys import SigningKey

JOB = "019abcde-0000-7000-8000-00000000000a"
OTHER_JOB = "019abcde-0000-7000-8000-00000000000b"
ANNA = "019abcde-0000-7000-8000-000000000001"
BERT = "019abcde-0000-7000-8000-000000000002"
AT = "2026-11-24T21:32:10.123Z"
UNTIL = "2026-11-25T00:00:00.000Z"


def key(n: int) -> SigningKey:
    """The n-th test key."""
    return SigningKey.from_seed(bytes([n]) * 32)


CONSOLE = key(1)
WORKSHOP = CONSOLE.thumbprint


def said(kind: str, body: dict[str, Any] | None = None, **members: Any) -> dict[str, Any]:
    """The members of an entry, with defaults."""
    job = JOB if kind.startswith(("job.", "step.", "note.", "reading.", "photo.")) else None
    return {
        "workshop": WORKSHOP,
        "job": job,
        "person": ANNA,
        "seq": 1,
        "after": [],
        "at": AT,
        "kind": kind,
        "body": body or {},
    } | members


def sign(by: SigningKey, kind: str, body: dict[str, Any] | None = None, **members: Any) -> Entry:
    """A signed entry, with defaults."""
    return entry.sign(said(kind, body, **members), by)


def line_of(members: dict[str, Any], by: SigningKey) -> str:
    """A line with a right signature over whatever it is given: a newer app may write it."""
    data = canonical.dumps({"v": 1, "device": by.thumbprint, **members})
    return f"{base64url.encode(by.sign(data))} {data.decode()}"


def newer(by: SigningKey, kind: str, body: dict[str, Any] | None = None, **members: Any) -> Entry:
    """An entry as a program of a later edition signs it."""
    return entry.parse(line_of(said(kind, body, **members), by))


def keyed(seq: int = 1, **more: Any) -> Entry:
    """The first statement of every ledger here."""
    body = {"key": CONSOLE.key, "name": "Riverside Belts", **more}
    return sign(CONSOLE, "workshop.keyed", body, person="console", seq=seq)


def invited(
    invitation: SigningKey,
    role: str = "mechanic",
    *,
    by: SigningKey = CONSOLE,
    body_person: str = ANNA,
    **members: Any,
) -> Entry:
    """An invitation of Anna, by the console, unless said otherwise."""
    body = {"key": invitation.key, "role": role, "person": body_person, "until": UNTIL}
    defaults = {"person": "console", "seq": 2} | members
    return sign(by, "device.invited", body, **defaults)


def enrolled(
    device: SigningKey, invitation: SigningKey, invitation_id: str, **members: Any
) -> Entry:
    """A device's enrolment, countersigned with the invitation's key."""
    message = keys.enrolment_message(
        device=device.thumbprint, invitation=invitation_id, workshop=WORKSHOP
    )
    body = {
        "key": device.key,
        "invitation": invitation_id,
        "countersign": keys.base64url.encode(invitation.sign(message)),
    }
    return sign(device, "device.enrolled", body, **members)
