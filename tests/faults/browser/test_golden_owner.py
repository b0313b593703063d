"""
What an owner's browser of the past holds: today's app goes on with it, and so does its own.

The build that left it held the whole ledger; the owner had approved a job without a line.
"""

from __future__ import annotations

import json
import shutil
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from browser.mechanic import IN_TIME_S
from browser.serving import ServedWorkshop
from faults.browser.golden import SCRIPT, golden_rig, unpack
from faults.browser.golden_owner import APPROVED, OWNERS
from faults.browser.oracle import check_all_arrived, own_entries, received
from faults.browser.rig import Rig
from faults.browser.test_golden import INDEX
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(10)]


@pytest.fixture(params=sorted(OWNERS.iterdir()), ids=lambda folder: folder.name)
def golden(request) -> Path:
    return request.param


@pytest.fixture
def rig(playwright, golden, tmp_path):
    """The owner's browser as it was left, before its workshop, which today's server serves."""
    unpack(golden / "workshop.tar.xz", tmp_path)
    unpack(golden / "phone.tar.xz", tmp_path / "profile" / "Default")
    workshop = ServedWorkshop(tmp_path)
    left_there = {one.id for one in received(Store(workshop.data))}
    assert said(golden)["entries"][-1] not in left_there
    workshop.start()
    one = golden_rig(playwright, tmp_path, workshop)
    yield one
    one.proxy.close()
    workshop.kill()


def test_todays_app_goes_on_with_an_owners_browser_of_the_past(rig, golden):
    shutil.rmtree(rig.phone.folder / "Default" / "Service Worker")
    with rig.opened(said(golden)["address"]) as page:
        assert page.evaluate(SCRIPT) in INDEX.read_text()
        goes_on(rig, page, golden)


def test_an_owners_app_of_the_past_goes_on_with_todays_workshop(rig, golden):
    with rig.opened(said(golden)["address"]) as page:
        assert page.evaluate(SCRIPT) == said(golden)["script"]
        goes_on(rig, page, golden)


def goes_on(rig: Rig, page: Page, golden: Path) -> None:
    """The job is shown as approved, nothing is told as lost, and the workshop gets it."""
    expect(page.get_by_text(APPROVED)).to_be_visible()
    written = own_entries(page)
    assert [one.id for one in written] == said(golden)["entries"]
    assert written[-1].kind == "review.approved"
    store = Store(rig.workshop.data)
    until = time.monotonic() + IN_TIME_S
    while written[-1].id not in {one.id for one in received(store)}:
        assert time.monotonic() < until, "the approval did not reach the workshop"
        page.wait_for_timeout(100)
    check_all_arrived(store, written)
    assert len(received(store)) >= said(golden)["lines"]
    expect(page.get_by_role("alert")).to_have_count(0)


def said(golden: Path) -> dict[str, Any]:
    return json.loads((golden / "said.json").read_text())
