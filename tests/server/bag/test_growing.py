"""
A bag's cost grows with what is in it: nothing is looked through once an entry, no photo is held.

Counted, not timed: lines of our own that were run, and bytes that Python held at most.
"""

import io
import os
import sys
import tracemalloc
from collections import Counter
from pathlib import Path

import pytest

import twoturns
from bags import BagWorkshop, located_photo
from twoturns.bag import layout
from twoturns.bag.verify import verify
from twoturns.bag.write import write_bag
from twoturns.demo.scripted_phone import Photo

pytestmark = pytest.mark.slow(8)

MIB = 1 << 20
FEW, MANY = 3, 15
OURS = str(Path(twoturns.__file__).parent)
THE_TREE = ("/ledger/tree.py", "/store/book.py")  # how many nodes are read goes in steps


class Nowhere(io.RawIOBase):
    """A file that takes all and keeps nothing, and that cannot be gone back in."""

    def writable(self):
        return True

    def write(self, data):
        return len(data)


@pytest.fixture
def workshop(tmp_path):
    return BagWorkshop(tmp_path / "data")


def job_of_photos(workshop, mechanic, count):
    """A job of so many photos, a MiB each: behind its end a JPEG may have anything."""
    work = workshop.job(mechanic)
    plain = located_photo("belt_off", "seen").data
    for _ in range(count):
        photo = Photo(plain + os.urandom(MIB), 400, 300)
        mechanic.photos.append(photo.data)
        body = {"step": "belt_off", "name": "seen", "blob": layout.sha256(photo.data)}
        body |= {"size": len(photo.data), "type": "image/jpeg", "width": 400, "height": 300}
        work.write(mechanic, "photo.taken", body | {"how": "live"})
        workshop.deliver(mechanic)
    return work


def most_held(work):
    """Return the most bytes that Python held while something was done."""
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("originals", [False, True])
def test_a_bag_of_many_photos_holds_no_more_of_them_than_one_of_few(workshop, originals):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    jobs = [job_of_photos(workshop, mechanic, count) for count in (FEW, MANY)]
    few, many = (
        most_held(lambda: write_bag(workshop.evidence(job, originals=originals), Nowhere()))  # noqa: B023 - done at once
        for job in jobs
    )
    assert many - few < (MANY - FEW) * MIB / 4


def test_verifying_many_photos_holds_no_more_of_them_than_few(workshop, tmp_path):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    held = []
    for count in (FEW, MANY):
        bag = tmp_path / f"{count}.zip"
        with bag.open("wb") as out:
            write_bag(workshop.evidence(job_of_photos(workshop, mechanic, count)), out)
        with bag.open("rb") as file:
            held.append(most_held(lambda: verify(file)))
    assert held[1] - held[0] < (MANY - FEW) * MIB / 4


def busy_job(workshop, count):
    """A job of so many entries of every sort, and as many statements that speak of it."""
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    for n in range(count // 4):
        reading = {"step": "belt_on", "name": "note", "value": str(n), "unit": "N"}
        first = work.write(mechanic, "reading.taken", reading | {"tool": f"TW-{n}"})
        because = mechanic.private("words", "a slip of the pen")
        work.write(
            mechanic, "reading.corrected", {"of": first.id, "value": "7", "because": because}
        )
        fitted = {"step": "belt_on", "name": f"part_{n}", "part": "belt", "lot": f"LOT-{n}"}
        work.write(mechanic, "part.fitted", fitted)
        work.write(mechanic, "note.added", {"text": mechanic.private("words", f"note {n}")})
    workshop.deliver(mechanic)
    for n in range(count // 4):
        tool = {"tool": f"TW-{n}", "type": "wrench", "label": "A wrench"}
        workshop.store.ledger.state("tool.registered", tool, workshop.now)
        recall = {"lot": f"LOT-{n}", "because": "cracks"}
        workshop.store.ledger.state("lot.recalled", recall, workshop.now)
    return work


def lines_run(work):
    """Count the lines that are run of each function of ours, and each turn of a comprehension."""
    counted = Counter()

    def each(frame, event, _):
        code = frame.f_code
        counted[f"{code.co_filename[len(OURS) :]}: {code.co_qualname}"] += event == "line"
        return each

    def called(frame, event, _):
        return each if frame.f_code.co_filename.startswith(OURS) else None

    before = sys.gettrace()
    sys.settrace(called)
    try:
        work()
    finally:
        sys.settrace(before)
    return counted


def squared(few, some, many):
    """
    Return the functions whose lines grow with the square of the entries.

    From one size to the next of three in equal steps n grows by as much again, n log n here by a
    quarter more, n * n by two thirds more.
    """
    return [
        one
        for one in many
        if not one.startswith(THE_TREE) and many[one] - some[one] > 1.4 * (some[one] - few[one])
    ]


def test_what_a_bag_costs_grows_with_its_entries_and_not_with_their_square(tmp_path):
    made, checked = [], []
    for count in (40, 80, 120):
        workshop = BagWorkshop(tmp_path / str(count))
        work, out = busy_job(workshop, count), io.BytesIO()
        made.append(lines_run(lambda: write_bag(workshop.evidence(work), out)))  # noqa: B023 - done at once
        checked.append(lines_run(lambda: verify(out)))  # noqa: B023 - done at once
        assert verify(out).holds
    assert squared(*made) == []
    assert squared(*checked) == []
