"""
What a build of the past left behind: today's app and today's workshop go on with it.

And the app of the past itself: a phone may not have been loaded anew for years.
"""

from __future__ import annotations

import json
import shutil
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from browser.mechanic import Mechanic
from browser.serving import SERVER, ServedWorkshop
from faults.browser.golden import GOLDEN, LOST, SCRIPT, golden_rig, unpack
from faults.browser.oracle import ROWS, check_all_arrived, check_photos, own_entries, received
from faults.browser.rig import Rig, everything_goes_out, go_to_the_job, is_closed
from faults.proxy import on, refused
from twoturns.ledger.entry import parse
from twoturns.store import Store
from workshop import Workshop

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

#: It is the old app that goes on: a newer one would be offered as soon as it is all here.
NO_NEWER = on(refused, "GET", "/sw.js")
INDEX = SERVER / "twoturns" / "static" / "index.html"
FOLDERS = sorted(one.parent for one in GOLDEN.glob("*/job.zip"))


@pytest.fixture(params=FOLDERS, ids=lambda folder: folder.name)
def golden(request) -> Path:
    return request.param


@pytest.fixture
def workshop(golden, tmp_path):
    """The workshop as it was left, served by today's server."""
    unpack(golden / "workshop.tar.xz", tmp_path)
    served = ServedWorkshop(tmp_path)
    served.start()
    yield served
    served.kill()


@pytest.fixture
def rig(playwright, golden, workshop, tmp_path):
    unpack(golden / "phone.tar.xz", tmp_path / "profile" / "Default")
    one = golden_rig(playwright, tmp_path, workshop)
    yield one
    one.proxy.close()


def test_todays_app_goes_on_with_a_phone_of_the_past(rig, golden):
    shutil.rmtree(rig.phone.folder / "Default" / "Service Worker")
    with rig.opened() as page:
        assert page.evaluate(SCRIPT) in INDEX.read_text()
        goes_on(rig, rig.mechanic(page), golden)


def test_the_app_of_the_past_goes_on_with_todays_workshop(rig, golden):
    rig.proxy.plan = NO_NEWER
    with rig.opened() as page:
        assert page.evaluate(SCRIPT) == said(golden)["script"]
        goes_on(rig, HandOfThePast(page, film=rig.phone.film), golden)


def test_the_app_of_the_past_goes_on_where_newer_ones_write(rig, golden, workshop):
    """One kind that it does not know would make it throw away the page, and what comes after."""
    store = Store(workshop.data)
    with zipfile.ZipFile(golden / "job.zip") as kept:
        (job,) = {parse(line).job for line in kept.read("entries.txt").decode().splitlines()} - {
            None
        }
    at_work = Workshop.__new__(Workshop)
    at_work.store, at_work.now = store, datetime.now(UTC)
    newer = at_work.enrol("mechanic")
    said_newer = newer.write_newer("step.blessed", {"step": 1}, job)
    lot = {"lot": "GL-9", "because": "a kind of the first edition, on the same page"}
    assert at_work.push(said_newer).refused == []
    store.ledger.state("lot.recalled", lot, at_work.now)
    rig.proxy.plan = NO_NEWER
    with rig.opened() as page:
        assert page.evaluate(SCRIPT) == said(golden)["script"]
        goes_on(rig, HandOfThePast(page, film=rig.phone.film), golden)
        kinds = {row["kind"] for row in page.evaluate(ROWS)}
        assert "lot.recalled" in kinds
        # From the second edition on an app keeps what it cannot read; before, it was not given it.
        newer_kinds = {"unread"} if said(golden)["edition"] > 1 else set()
        assert {"step.blessed", "unread"} & kinds == newer_kinds


def test_a_file_of_the_past_is_imported_and_a_bag_of_the_past_is_read(workshop, golden):
    workshop.run("import", str(golden / "job.zip"), data=True)
    here = {one.id: one for one in received(Store(workshop.data))}
    assert set(said(golden)["entries"]) <= set(here)
    check_photos(Store(workshop.data), [here[entry] for entry in said(golden)["entries"]])
    # Exit 1: a bag of the first form holds nothing that proves it to be whole.
    unshown = said(golden)["unshown"]
    code = 1 if unshown else 0
    verdict = json.loads(workshop.run("verify", str(golden / "bag.zip"), "--json", code=code))
    assert verdict["findings"] == []
    assert [one["code"] for one in verdict["unshown"]] == unshown


class HandOfThePast(Mechanic):
    """
    It holds a key once more of which nothing came.

    Until 2026-11-30 a held key was let go when its screen took the focus for what came in.
    """

    def hold(self) -> None:
        try:
            super().hold()
        except AssertionError:
            super().hold()


def goes_on(rig: Rig, mechanic: Mechanic, golden: Path) -> None:
    """Nothing is missing; the job is done to its end, and all of it reaches the workshop."""
    page = mechanic.page
    go_to_the_job(page)
    assert [one.id for one in own_entries(page)] == said(golden)["entries"]
    lost = said(golden)["lost"]
    told = page.get_by_role("alert").filter(has_text=LOST)
    expect(told).to_have_count(1 if lost else 0)
    if lost:
        told.get_by_role("button", name="I have read it").click()
        expect(told).to_have_count(0)
    mechanic.work(until=is_closed)
    everything_goes_out(page)
    written = own_entries(page)
    before = len(said(golden)["entries"])
    # The number that was lost is not given again.
    assert [one.seq for one in written[before:]] == [
        before + lost + n for n in range(1, len(written) - before + 1)
    ]
    check_all_arrived(Store(rig.workshop.data), written, {"good", "gap"} if lost else {"good"})


def said(golden: Path) -> dict[str, Any]:
    """What it was made with; the first was made before some of it was noted."""
    first = {"edition": 1, "lost": 0, "unshown": ["completeness-not-proven"]}
    return first | json.loads((golden / "said.json").read_text())
