"""What owners are told of orders to erase."""

from datetime import timedelta

import pytest

from twoturns.web.duties import erase_what_is_due
from workshop import private_value, ref

pytestmark = pytest.mark.both_ledgers

WHY = {"reason": "the customer asked", "basis": "GDPR 17(1)(b)"}


@pytest.fixture
def owners(workshop):
    found = workshop.enrol("owner"), workshop.enrol("owner")
    workshop.now += timedelta(days=8)
    return found


def ordered(workshop, owner, *values: bytes) -> str:
    said = owner.write("erasure.ordered", {"blobs": [ref(one)["blob"] for one in values], **WHY})
    assert workshop.push(said, blobs=values).refused == []
    return said.id


def test_all_owners_are_told_and_only_another_may_hasten(workshop, open_client, owners):
    first, second = owners
    order = ordered(workshop, first, private_value("words", "too much"))
    seen = {}
    for name, phone in {"first": first, "second": second, "new": workshop.enrol("owner")}.items():
        said = open_client(phone).get("/api/erasures").json
        (row,) = said["orders"]
        assert (row["order"], row["state"], row["reason"]) == (order, "waits", WHY["reason"])
        assert (row["blobs"], row["left"], row["person"]) == (1, 1, first.person)
        assert row["due"].startswith("2026-12-09")
        assert said["rule"] == {"delay_days": 7, "blobs_a_day": 500}
        seen[name] = row["may_hasten"]
    assert seen == {"first": False, "second": True, "new": False}


def test_a_rule_that_comes_is_told_until_it_has_begun(workshop, open_client, owners):
    first, second = owners
    workshop.push(first.write("erasure.ruled", {"delay_days": 1, "blobs_a_day": 9_999}))
    (coming,) = open_client(second).get("/api/erasures").json["coming"]
    assert (coming["delay_days"], coming["begins"][:10]) == (1, "2026-12-09")
    workshop.now += timedelta(days=7)
    said = open_client(second).get("/api/erasures").json
    assert (said["coming"], said["rule"]["delay_days"]) == ([], 1)


def test_nobody_but_owners_is_told(workshop, open_client):
    for role in ("mechanic", "auditor"):
        assert open_client(workshop.enrol(role)).get("/api/erasures").status_code == 404


def test_serving_carries_out_what_is_due_and_goes_on_after_a_fault(
    workshop, open_client, owners, monkeypatch, caplog
):
    value = private_value("words", "too much")
    ordered(workshop, owners[0], value)
    app = open_client(owners[0]).app
    store = app.extensions["twoturns"].served.store
    carry_out, beats = store.erasing.carry_out_orders, []

    def first_fails(now):
        if not beats:
            raise OSError("the disk is away")
        return carry_out(now)

    def sleep(seconds: float) -> None:
        beats.append(store.blobs.has(ref(value)["blob"]))
        workshop.now += timedelta(days=4)
        if len(beats) == 3:
            raise KeyboardInterrupt

    monkeypatch.setattr(store.erasing, "carry_out_orders", first_fails)
    with pytest.raises(KeyboardInterrupt):
        erase_what_is_due(store, lambda: workshop.now, sleep)
    assert beats == [True, True, False]
    assert "orders to erase wait" in caplog.text
