"""A lot is recalled while its part is in a mechanic's hands: phone and desk, each their own."""

from __future__ import annotations

import re
import time

import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol, violations
from browser.chromium import DESK, PHONE
from browser.mechanic import Mechanic, goes_out
from browser.serving import PATIENCE_S
from twoturns.ledger.entry import Entry
from twoturns.store import Store

pytestmark = pytest.mark.browser

# The longest pause between two rounds of sync.


def test_a_recall_stops_an_open_job_until_the_owner_takes_it_over(browser, film, workshop):
    workshop.publish("van-timing-drive")
    phone, desk = browser.new_context(**PHONE), browser.new_context(**DESK)
    page, owner = phone.new_page(), desk.new_page()
    seen = violations(page), violations(owner)
    for each in (page, owner):
        each.clock.install()
    enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Open a job").click()
    mechanic = Mechanic(page, film=film)
    screen = mechanic.work(until=lambda one: one.step == "3")
    job = screen.address.split("/")[3]
    fitted = entries(workshop, job, "part.fitted")
    lot = fitted[0].body["lot"]
    # As a maker's letter may write it.
    other = lot.lower().replace("-", "\u2013 ")
    workshop.state("lot.recalled", {"lot": other, "because": "Teeth part from the cord."})

    goes_out(page, page.get_by_role("heading", name=f"Lot {other} is recalled"))
    expect(page.get_by_text("Call the owner before the next step.")).to_be_visible()
    mechanic.hold()
    mechanic.work(until=lambda one: one.step == "3")  # seen; the work may go on
    see_the_end(page, job)
    expect(page.get_by_text(f"Lot {other} is recalled.")).to_be_visible()
    expect(page.get_by_role("button", name="Do 2 again")).to_be_visible()

    enrol(owner, workshop.address, workshop.invite("owner", "Bela Weir"))
    expect(
        owner.get_by_role("button", name=re.compile(rf"Lot {other} is recalled"))
    ).to_be_visible()
    owner.goto(f"{workshop.address}/#/desk/jobs/{job}")
    owner.get_by_role("button", name=f"Take over that lot {other} stays in").click()
    words = "The maker names other belts of this lot."
    owner.get_by_label(f"Why lot {other} stays in this engine").fill(words)
    owner.get_by_role("button", name="Take it over").click()
    expect(owner.get_by_text(words)).to_be_visible()
    follow_it_up(owner, workshop, job, other)
    (borne,) = entries(workshop, job, "recall.borne")
    assert borne.body["parts"] == [one.id for one in fitted if one.body["lot"] == lot]

    goes_out(page, page.get_by_text(f"Lot {other} is recalled."), gone=True)
    assert seen == ([], [])
    phone.close()
    desk.close()


def follow_it_up(owner: Page, workshop, job: str, lot: str) -> None:
    """From the lot to the vehicle, and what was said to its owner; the table and a letter."""
    owner.goto(f"{workshop.address}/#/desk/lots/{lot}")
    owner.get_by_role("button", name="Whom to call").click()
    expect(owner.get_by_role("heading", name=f"Recall of lot {lot}")).to_be_visible()
    expect(owner.get_by_text("1 vehicle: nothing is left to do, 1 done.")).to_be_visible()
    owner.get_by_role("button", name="Write down what was done").click()
    owner.get_by_label("How far it came").select_option("answered")
    owner.get_by_role("button", name="Write it down", exact=True).click()
    expect(owner.get_by_text("Write what was said")).to_be_visible()
    owner.get_by_label("In words").fill("Keeps it, knows of it.")
    owner.get_by_role("button", name="Write it down", exact=True).click()
    expect(owner.get_by_text("Keeps it, knows of it.")).to_be_visible()
    (said,) = entries(workshop, job, "recall.followed")
    assert said.body["how"] == "answered"
    with owner.expect_download() as taken:
        owner.get_by_role("button", name="Take the table away").click()
    table = taken.value.path().read_bytes().decode("utf-8-sig")
    assert "answered" in table.splitlines()[1]


def see_the_end(page: Page, job: str) -> None:
    page.evaluate(f"location.hash = '#/bay/job/{job}/close'")
    # Nothing is touched yet, so it may end as that, and as nothing else.
    expect(page.get_by_role("heading", name="Ended before anything was touched")).to_be_visible()


def entries(workshop, job: str, kind: str) -> list[Entry]:
    """Wait until the workshop holds entries of a kind: they go out by themselves."""
    store = Store(workshop.data)
    until = time.monotonic() + PATIENCE_S
    while True:
        records = store.ledger.job_entries(job)
        found = [one.entry for _, one, _ in records if one.entry.kind == kind]
        if found:
            return found
        assert time.monotonic() < until, f"no {kind} came"
        time.sleep(0.05)
