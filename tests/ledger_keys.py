"""Workshop keys for tests: handed over, recovered, and recovery keys committed to."""

from typing import Any

from ledger_entries import CONSOLE, WORKSHOP, sign
from twoturns.ledger import base64url, keys
from twoturns.ledger.entry import Entry
from twoturns.ledger.keys import SigningKey

ROOT = "ab" * 32


def first(recovery: SigningKey | None = None, edition: int | None = 2) -> Entry:
    """The first statement of a ledger of the second edition."""
    body: dict[str, Any] = {"key": CONSOLE.key, "name": "Riverside Belts"}
    body |= {} if edition is None else {"edition": edition}
    body |= {} if recovery is None else {"recovery": recovery.thumbprint}
    return sign(CONSOLE, "workshop.keyed", body, person="console")


def signed_by(by: SigningKey, message: bytes) -> dict[str, str]:
    return {"key": by.key, "signature": base64url.encode(by.sign(message))}


def handed_over(new: SigningKey, *, by: SigningKey, workshop: str = WORKSHOP, **more: Any) -> Entry:
    message = keys.succession_message(key=new.key, workshop=workshop)
    body = {"key": new.key, "name": "Riverside Belts", "signed_by": signed_by(by, message)}
    return sign(new, "workshop.keyed", body | more, person="console")


def recovered(
    new: SigningKey,
    *,
    by: SigningKey,
    size: int,
    then: SigningKey,
    root: str = ROOT,
    workshop: str = WORKSHOP,
    **more: Any,
) -> Entry:
    """`then` is the recovery key that the recovery commits to."""
    said = {"key": new.key, "recovery": then.thumbprint, "root": root, "size": size}
    message = keys.recovery_message(**said, workshop=workshop)
    body = {
        "key": new.key,
        "name": "Riverside Belts",
        "recovery": then.thumbprint,
        "recovered": signed_by(by, message) | {"size": size, "root": root},
    }
    return sign(new, "workshop.keyed", body | more, person="console")


def committed(
    recovery: SigningKey,
    *,
    by: SigningKey = CONSOLE,
    before: SigningKey | None = None,
    **members: Any,
) -> Entry:
    """`before` is the recovery key that lets the new one take its place."""
    body: dict[str, Any] = {"recovery": recovery.thumbprint}
    if before is not None:
        message = keys.commitment_message(recovery=recovery.thumbprint, workshop=WORKSHOP)
        body["signed_by"] = signed_by(before, message)
    return sign(by, "recovery.committed", body, **{"person": "console", "seq": 9} | members)
