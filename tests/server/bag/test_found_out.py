"""A wrench that was found out after the job was done: an exception in every bag made afterwards."""

import pytest

from bags import BagWorkshop, bag_entries, unpacked, verdict_of
from twoturns.bag import layout
from wrench_found_out import FOUND, READ


@pytest.fixture
def done(tmp_path):
    """Return a workshop with a job whose nut was tightened with a wrench."""
    workshop = BagWorkshop(tmp_path / "data")
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.write(mechanic, "reading.taken", READ)
    work.write(mechanic, "reading.taken", READ | {"name": "u", "value": "12"})
    work.write(mechanic, "reading.taken", READ | {"name": "v", "low": "20"})
    workshop.deliver(mechanic)
    return workshop, work


def exceptions(bag: bytes) -> list[tuple[str, str | None]]:
    found = verdict_of(bag).account.exceptions
    return [(one.code, one.name) for one in found if one.code.startswith("tool-f")]


def first_section(bag: bytes) -> str:
    report = unpacked(bag)[layout.REPORT].decode()
    return report.split("What the owner must look at")[1].split("<h2")[0]


def test_a_bag_made_before_knows_nothing_of_it(done):
    workshop, work = done
    assert exceptions(workshop.bag(work)) == []


def test_a_bag_made_afterwards_says_what_each_fastener_really_got(done):
    workshop, work = done
    workshop.store.ledger.state("tool.checked", FOUND, workshop.now)
    bag = workshop.bag(work)
    assert verdict_of(bag).findings == ()
    assert exceptions(bag) == [("tool-found-out", "23.66"), ("tool-found-out", None)]
    said = first_section(bag)
    assert "TW-2 was found out on 2026-11-24" in said
    assert "This came out as 23.66 N·m, outside the limits of then" in said
    assert "Whether this is within its limits nobody can say" in said
    report = unpacked(bag)[layout.REPORT].decode()
    assert "found outside of its limits on 2026-11-24: 20 came out as 18.2" in report


def test_what_the_owner_settled_is_told_as_settled(done):
    workshop, work = done
    owner = workshop.phone("owner", "Bela Weir")
    check = workshop.store.ledger.state("tool.checked", FOUND, workshop.now)[1].id
    words = owner.private("words", "new nut, pulled with TW-5")
    said = {"of": check, "how": "retightened", "words": words}
    work.write(owner, "recall.followed", said)
    workshop.deliver(owner)
    bag = workshop.bag(work)
    assert verdict_of(bag).findings == ()
    assert {code for code, _ in exceptions(bag)} == {"tool-followed"}
    assert "The owner says that this is settled." in first_section(bag)
    assert "it was tightened again: new nut" in unpacked(bag)[layout.REPORT].decode()


def test_a_recalled_part_that_was_replaced_elsewhere_is_told_so(done):
    workshop, work = done
    owner, mechanic = (workshop.phone(role, role) for role in ("owner", "mechanic"))
    part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "L1"}
    work.write(mechanic, "part.fitted", part)
    workshop.deliver(mechanic)
    recall = workshop.store.ledger.state(
        "lot.recalled", {"lot": "l 1", "because": "teeth"}, workshop.now
    )[1]
    assert "recall-followed" not in codes(workshop.bag(work))
    work.write(owner, "recall.followed", {"of": recall.id, "how": "replaced"})
    workshop.deliver(owner)
    bag = workshop.bag(work)
    assert "recall-followed" in codes(bag)
    assert "lot-recalled" not in codes(bag)
    assert "The owner says that it was replaced since." in first_section(bag)


def codes(bag: bytes) -> set[str]:
    return {one.code for one in verdict_of(bag).account.exceptions}


def test_the_check_goes_into_the_bag_and_another_tools_does_not(done):
    workshop, work = done
    workshop.store.ledger.state("tool.checked", FOUND, workshop.now)
    workshop.store.ledger.state("tool.checked", FOUND | {"tool": "TW-9"}, workshop.now)
    entries = bag_entries(unpacked(workshop.bag(work))).values()
    checked = [one["body"]["tool"] for one in entries if one["kind"] == "tool.checked"]
    assert checked == ["TW-2"]


def test_a_tool_is_called_what_was_said_of_it_last(done):
    workshop, work = done
    said = {"tool": "TW-2", "type": "torque_wrench", "label": "the long one"}
    state = workshop.store.ledger.state
    state("tool.registered", said, workshop.now)
    right = {**said, "label": "the short one", "because": "mixed up with TW-3"}
    corrected = state("tool.corrected", right, workshop.now)[1].id
    bag = workshop.bag(work)
    assert verdict_of(bag).findings == ()
    (tool,) = verdict_of(bag).account.tools
    assert tool.registered == corrected
    report = unpacked(bag)[layout.REPORT].decode()
    assert "the short one" in report
    assert "the long one" not in report
