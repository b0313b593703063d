"""Inviting a person's device: the statement in the ledger, and what travels in the link."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Invitation
from twoturns.store.store import Store
from twoturns.store.times import as_text


def invite(
    store: Store,
    *,
    role: str,
    person: str,
    until: datetime,
    now: datetime,
    scope: Mapping[str, Any] | None = None,
) -> Invitation:
    """Invite one device of a person, in a role, until a time; an auditor's to a scope."""
    secret = SigningKey.generate()
    body: dict[str, Any] = {
        "key": secret.key,
        "role": role,
        "person": person,
        "until": as_text(until),
    }
    if scope:
        body["scope"] = scope
    _, said = store.ledger.state("device.invited", body, now)
    return Invitation(
        workshop=store.ledger.workshop,
        key=store.ledger.key,
        invitation=said.id,
        role=role,
        person=person,
        secret=secret.seed,
    )
