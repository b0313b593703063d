"""What only a newer app can read: phone and desk say so, and who wrote it where no newer app is."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, expect

from browser.app import enrol
from browser.chromium import DESK, PHONE
from browser.film import Film
from browser.fixtures import serving_five_steps
from browser.mechanic import Mechanic, goes_out
from browser.serving import ServedWorkshop
from twoturns.store import Store
from workshop import Workshop

pytestmark = pytest.mark.browser

UNREAD = "No app here can read 1 entry of Cy Flume."


@pytest.fixture
def five_steps(tmp_path):
    """A workshop of its own: what nobody can read would be told on all screens of a shared one."""
    with serving_five_steps(tmp_path) as served:
        yield served


def writes_newer(served: ServedWorkshop, job: str) -> None:
    """A device with a newer app writes into a job what the app of today cannot read."""
    workshop = Workshop.__new__(Workshop)
    workshop.store, workshop.now = Store(served.data), datetime.now(UTC)
    phone = workshop.enrol("mechanic")
    workshop.store.name_person(phone.person, "Cy Flume", workshop.now)
    said = phone.write_newer("step.blessed", {"step": "lock_in"}, job)
    assert workshop.push(said).refused == []


def test_phone_and_desk_say_that_a_newer_app_wrote_in_a_job(
    browser: Browser, film: Film, five_steps: ServedWorkshop
):
    phone, desk = browser.new_context(**PHONE), browser.new_context(**DESK)
    page, owner = phone.new_page(), desk.new_page()
    page.clock.install()
    enrol(page, five_steps.address, five_steps.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Open a job").click()
    Mechanic(page, film=film).work(until=lambda screen: "/step/" in screen.address)
    job = page.evaluate("location.hash").split("/")[3]
    expect(page.get_by_text(UNREAD)).to_have_count(0)
    writes_newer(five_steps, job)
    goes_out(page, page.get_by_text(UNREAD))
    expect(page.get_by_text("Update the app")).to_have_count(0)  # no newer one would help
    page.evaluate(f"location.hash = '#/bay/job/{job}/close'")
    expect(page.get_by_text("Ask before you end the job.")).to_be_visible()
    enrol(owner, five_steps.address, five_steps.invite("owner", "Bo Sluice"))
    owner.goto(f"{five_steps.address}/#/desk/jobs/{job}")
    unread = owner.get_by_text("has an entry that only a newer program can read")
    expect(unread.first).to_be_visible()
    phone.close()
    desk.close()
