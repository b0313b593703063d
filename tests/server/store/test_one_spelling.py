"""One lot, one spelling: all places of the workshop that compare lots or tools agree."""

import random
import unicodedata

import pytest

from spellings import others, spelled
from twoturns.bag.assess import account_of
from twoturns.bag.contents import of_evidence
from twoturns.bag.tell import tell
from twoturns.store.desk import desk
from twoturns.store.gather import gather
from twoturns.trade.spelling import lot_key, tool_key
from workshop import opening, private_value, publish_tiny, uuid7

SINCE = "2026-01-01T00:00:00.000Z"
LOT, TOOL = "NH-24-0917", "TW-2"
RECALL = "teeth shear"


class Places:
    """A workshop in which each job fitted one lot and measured with one tool."""

    def __init__(self, workshop):
        self.workshop = workshop
        self.bundle = publish_tiny(workshop.store)
        self.phone, self.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
        self.jobs: dict[str, tuple[str, str]] = {}

    def job(self, lot: str, tool: str) -> None:
        job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
        opened = opening(*values, bundle=self.bundle.sha256)
        self.workshop.push(self.phone.write("job.opened", opened, job), blobs=values)
        part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": lot}
        read = {"step": "belt_on", "name": "t", "value": "26", "unit": "N·m", "tool": tool}
        self.push(self.phone.write("part.fitted", part, job))
        self.push(self.phone.write("reading.taken", read, job))
        self.jobs[job] = (lot, tool)

    def push(self, line) -> None:
        assert self.workshop.push(line).refused == []

    def found(self, key: str, value: str) -> set[str]:
        return {row["job"] for row in self.workshop.store.views.find(key, value)}

    def noticed(self, code: str) -> set[str]:
        lines = [line for _, line in desk(self.workshop.store, SINCE)]
        return {one["job"] for one in lines if any(said["code"] == code for said in one["notices"])}

    def told(self, job: str):
        evidence = gather(
            self.workshop.store, job, groups=[], originals=False, made_on="2026-11-24"
        )
        contents = of_evidence(evidence)
        return tell(account_of(contents), contents)


@pytest.fixture
def places(workshop) -> Places:
    return Places(workshop)


def written(name: str, rng: random.Random) -> str:
    """A spelling as an entry may carry it: NFC, no blanks round it."""
    return unicodedata.normalize("NFC", spelled(name, rng)).strip()


def test_find_desk_bag_and_report_agree_on_a_lot_however_it_is_written(places):
    rng = random.Random(24)
    for lot in [*(written(LOT, rng) for _ in range(8)), *others(LOT, rng)]:
        places.job(lot, TOOL)
    recall = {"lot": written(LOT, rng), "because": RECALL}
    places.push(places.owner.write("lot.recalled", recall))
    hit = {job for job, (lot, _) in places.jobs.items() if lot_key(lot) == lot_key(LOT)}
    assert len(hit) == 8
    for _ in range(10):
        assert places.found("lot", spelled(LOT, rng)) == hit
    assert places.noticed("lot-recalled") == hit
    told = {job for job in places.jobs if RECALL in str(places.told(job).parts)}
    assert told == hit
    for one in others(LOT, rng):
        assert places.found("lot", one).isdisjoint(hit)


def test_find_desk_and_report_agree_on_a_tool_however_it_is_written(places):
    rng = random.Random(25)
    tool = {"tool": written(TOOL, rng), "type": "torque_wrench", "label": "the long one"}
    places.push(places.owner.write("tool.registered", tool))
    for name in [*(written(TOOL, rng) for _ in range(6)), *others(TOOL, rng), "TW.2"]:
        places.job(LOT, name)
    hit = {job for job, (_, name) in places.jobs.items() if tool_key(name) == tool_key(TOOL)}
    assert len(hit) == 6
    for _ in range(10):
        assert places.found("tool", spelled(TOOL, rng)) == hit
    assert places.noticed("tool-not-calibrated") == hit
    named = {job for job in places.jobs if "the long one" in str(places.told(job).tools)}
    assert named == hit
    check = {"tool": written(TOOL, rng), "on": "2026-01-02", "due": "2027-01-02"}
    places.push(places.owner.write("tool.calibrated", check))
    assert places.noticed("tool-not-calibrated") == set()
    checked = {job for job in places.jobs if "calibrated on" in str(places.told(job).tools)}
    assert checked == hit
