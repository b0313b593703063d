"""
A procedure by a maker's word: an owner reads it and publishes it, the phone says it at its step,
and it stands in the owner's review.
"""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from playwright.sync_api import expect

from browser.app import enrol
from browser.chromium import DESK, PHONE
from browser.mechanic import Mechanic, comes_to, goes_out, hold
from browser.serving import ServedWorkshop
from tiny_procedure import TINY_BY_WORD
from twoturns.store import Store
from twoturns.store.offers import hand_in
from workshop import tiny_bundle

pytestmark = [pytest.mark.browser, pytest.mark.slow(8)]

ASKED = "It is turned with the pin in its slack hole."
HELD = "The old belt is on or the new belt is on."
GONE = "The pin is on the board."
DOCUMENT = "Ombral leaflet 21-07, edition 2, page 12, 2025-03-01"


@pytest.fixture
def workshop(tmp_path):
    """A workshop where nothing is published, and one procedure waits for an owner."""
    served = ServedWorkshop(tmp_path)
    hand_in(Store(served.data), tiny_bundle(source=TINY_BY_WORD), datetime.now(UTC))
    served.start()
    yield served
    served.kill()


def test_it_is_published_by_an_owner_said_at_its_step_and_told_in_the_review(
    workshop, browser, film
):
    desk, phone = browser.new_context(**DESK), browser.new_context(**PHONE)
    owner, page = desk.new_page(), phone.new_page()
    for one in (owner, page):
        one.clock.install()
    enrol(owner, workshop.address, workshop.invite("owner", "Bela Weir"))
    owner.get_by_role("link", name="Procedures").click()
    expect(owner.get_by_role("heading", name="A tiny drive, edition 1, waits")).to_be_visible()
    expect(owner.get_by_text(ASKED)).to_be_visible()
    expect(owner.get_by_text(DOCUMENT)).to_be_visible()
    for said in (HELD, GONE):
        expect(owner.locator(".makers-word")).to_contain_text(said)
    hold(owner, owner.get_by_role("button", name="Publish it"))
    goes_out(owner, owner.get_by_role("heading", name="waits for an owner"), gone=True)
    expect(owner.get_by_role("heading", name="A tiny drive, edition 1")).to_be_visible()

    enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Open a job").click()
    mechanic = Mechanic(page, film=film)
    mechanic.work(until=lambda screen: screen.title == "Two turns by hand")
    said = page.locator(".makers-word")
    expect(said).to_contain_text(f"The maker says otherwise: {ASKED}")
    expect(said.get_by_text(GONE)).to_be_visible()
    expect(said.get_by_text(DOCUMENT)).to_be_hidden()
    said.locator("summary").click()
    expect(said.get_by_text(DOCUMENT)).to_be_visible()
    expect(said.get_by_text("Never: Turn the crankshaft without a belt.")).to_be_visible()
    mechanic.work(until=lambda screen: screen.title == "Closed: Finished")
    comes_to(page)

    ready = owner.get_by_role("button", name="WEIR 12 is ready to approve")
    owner.get_by_role("link", name="Eyes first").click()
    goes_out(owner, ready)
    ready.click()
    owner.get_by_role("button", name="Open the job").click()
    expect(owner.get_by_role("heading", name="What holds in place of house")).to_be_visible()
    expect(owner.get_by_text(DOCUMENT)).to_be_visible()
    expect(owner.get_by_text("At step 4.")).to_be_visible()
    for context in (desk, phone):
        context.close()
