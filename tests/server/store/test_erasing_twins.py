"""What a phone lets go of and hides is what the workshop erased and hides, whoever said it when."""

import random

import pytest

from twoturns.ledger.record import parse
from twoturns.store import Store
from twoturns.store.erasures import HIDDEN
from workshop import Workshop

BLOBS = [f"{n:064x}" for n in range(1, 13)]
WHY = {"reason": "asked", "basis": "law"}


def lines(store: Store) -> list[str]:
    rows = store.database.rows('select record from records order by "index"')
    return [parse(row["record"]).entry.line for row in rows]


def of_the_store(store: Store) -> dict[str, list[str]]:
    hidden = store.database.rows(f"select distinct blob from ({HIDDEN}) as hidden order by blob")
    return {"erased": sorted(store.views.erased()), "hidden": [row["blob"] for row in hidden]}


def say_at_random(workshop: Workshop, chance: random.Random) -> None:
    """Let everybody say everything about erasing, in any order; one owner is revoked midway."""
    people = [workshop.enrol(role) for role in ("owner", "owner", "mechanic", "auditor")]
    orders = ["a" * 64]
    for turn in range(60):
        if turn == 40:
            body = {"device": people[0].id, "because": "lost"}
            workshop.store.ledger.state("device.revoked", body, workshop.now)
        kind = chance.choice(["blob.erased", "erasure.ordered", "erasure.withdrawn"])
        body = {
            "blob.erased": {"blob": chance.choice(BLOBS), **WHY},
            "erasure.ordered": {"blobs": chance.sample(BLOBS, 2), **WHY},
            "erasure.withdrawn": {"order": chance.choice(orders), "because": "a mistake"},
        }[kind]
        if chance.random() < 0.2:
            orders.append(workshop.store.ledger.state(kind, body, workshop.now)[1].id)
            continue
        said = chance.choice(people).write(kind, body)
        orders.append(said.id)
        if chance.random() < 0.3 and kind == "erasure.ordered":
            early = chance.choice(people).write(
                "erasure.withdrawn", {"order": said.id, "because": "heard of it first"}
            )
            workshop.push(early)
        workshop.push(said)


@pytest.mark.parametrize("seed", range(4))
def test_phone_and_workshop_agree(tmp_path, peer, seed):
    workshop = Workshop(tmp_path / "data")
    say_at_random(workshop, random.Random(seed))
    there = peer.call("erasures", workshop.store.ledger.workshop, lines(workshop.store))
    here = of_the_store(workshop.store)
    assert there == here
    assert here["erased"]
    assert here["hidden"]


def test_they_agree_on_what_an_owner_erased_in_the_first_edition(tmp_path, peer, monkeypatch):
    monkeypatch.setattr("twoturns.store.store.EDITION", 1)
    monkeypatch.setattr("twoturns.store.book.Book.begin_rules", lambda *_: None)
    workshop = Workshop(tmp_path / "data")
    owner = workshop.enrol("owner")
    workshop.push(owner.write("blob.erased", {"blob": BLOBS[0], **WHY}))
    monkeypatch.undo()
    workshop.push(owner.write("blob.erased", {"blob": BLOBS[1], **WHY}))
    there = peer.call("erasures", workshop.store.ledger.workshop, lines(workshop.store))
    assert there == of_the_store(workshop.store) == {"erased": [BLOBS[0]], "hidden": []}
