"""What waits for an owner is listed for owners alone, with what it takes otherwise."""

from tiny_procedure import TINY_BY_WORD
from twoturns.store.offers import hand_in
from workshop import NOON, publish_tiny, tiny_bundle


def test_an_owner_reads_what_is_asked_for_and_whose_word_it_is(workshop, open_client):
    bundle = tiny_bundle(source=TINY_BY_WORD)
    hand_in(workshop.store, bundle, NOON)
    (offer,) = open_client(workshop.enrol("owner")).get("/api/offers").json["offers"]
    assert (offer["bundle"], offer["edition"]) == (bundle.sha256, 1)
    (rule,) = offer["rules"]
    assert rule == bundle.bundle["rules"][0]
    assert rule["instead"]["holds"] == ["the old belt is on or the new belt is on"]
    assert rule["instead"]["gone"] == ["the pin is on the board"]


def test_an_owner_is_told_what_waits_no_longer(workshop, open_client):
    older = tiny_bundle(source=TINY_BY_WORD)
    hand_in(workshop.store, older, NOON)
    publish_tiny(workshop.store, edition=2)
    told = open_client(workshop.enrol("owner")).get("/api/offers").json
    assert told["offers"] == []
    name = older.bundle["name"]
    assert told["overtaken"] == [
        {"bundle": older.sha256, "name": name, "edition": 1, "published": 2}
    ]


def test_nobody_else_is_told(workshop, open_client):
    hand_in(workshop.store, tiny_bundle(source=TINY_BY_WORD), NOON)
    for role in ("mechanic", "auditor"):
        assert open_client(workshop.enrol(role)).get("/api/offers").status_code == 404
