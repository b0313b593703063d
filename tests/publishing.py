"""Publishing a procedure of the demo, by whoever has to: the console, or an owner's device."""

import os
from datetime import datetime, timedelta

from twoturns.demo.scripted_phone import ScriptedPhone
from twoturns.demo.workshop import deliver
from twoturns.ledger.keys import SigningKey
from twoturns.procedure.compile.bundle import Bundle
from twoturns.store import Store
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.bundles import publish, put
from twoturns.store.enrolment import let_in
from twoturns.store.invite import invite
from workshop import uuid7


def publish_by_right(store: Store, bundle: Bundle, now: datetime) -> None:
    """Publish a bundle; an owner's device signs for one that takes a `stop` otherwise."""
    if not wants_an_owner(bundle.bundle):
        publish(store, bundle, now)
        return
    put(store, bundle, now)
    owner = owners_device(store, now)
    told = {name: bundle.bundle[name] for name in ("name", "edition", "engine_codes")}
    owner.write("bundle.published", {"bundle": bundle.sha256, **told})
    deliver(store, owner, now)


def owners_device(store: Store, now: datetime) -> ScriptedPhone:
    """Let a new device in as an owner's."""
    person = uuid7()
    store.name_person(person, "Odile Fenn", now)
    until = now + timedelta(hours=1)
    invited = invite(store, role="owner", person=person, until=until, now=now)
    phone = ScriptedPhone(SigningKey.generate(), store.ledger.workshop, person, now, os.urandom)
    said = phone.enrol(invited.invitation, SigningKey.from_seed(invited.secret))
    let_in(store, said.line, now)
    phone.lines.clear()
    return phone
