"""Storage that is slow, refused, damaged or gone, seen through the app's own screens."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.app import enrol
from browser.chromium import PHONE
from browser.mechanic import comes_to
from faults.browser.oracle import own_entries, received
from faults.browser.rig import go_to_the_job, is_closed
from faults.proxy import always, passes
from twoturns.store import Store

pytestmark = pytest.mark.browser

#: The lock of the writing tab is not given before the test says so.
SLOW = """(() => {
  const request = navigator.locks.request.bind(navigator.locks)
  const go = new Promise((resolve) => { window.storageAnswers = resolve })
  navigator.locks.request = async (...given) => { await go; return request(...given) }
})()"""


@pytest.fixture
def phone(browser, tiny_workshop):
    """A phone that need not survive its browser; returns its first page, enrolled."""
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    yield page
    context.close()


def test_a_photo_whose_file_is_gone_is_told_and_holds_up_nothing(rig):
    rig.cut()
    with rig.opened() as page:
        assert rig.work(page, until=lambda screen: screen.step == "4")
        written = rig.oracle.check_phone(page)
    (photo,) = photo_files(rig.phone.folder)
    photo.unlink()
    with rig.opened() as page:
        words = page.get_by_role("alert").filter(has_text="has lost 1 photo that had not been sent")
        expect(words).to_be_visible()
        assert own_entries(page) == written
        rig.proxy.plan = always(passes)
        go_to_the_job(page)
        rig.mechanic(page).work(until=is_closed)
        comes_to(page, "1 on this phone")  # the entry of the photo, for want of its bytes
        there = {one.id for one in received(Store(rig.workshop.data))}
        assert {one.id for one in own_entries(page)} <= there


def photo_files(profile: Path) -> list[Path]:
    """The files of the origin-private file system that begin as a PNG or a JPEG does."""
    files = (profile / "Default" / "File System").glob("*/t/00/*")
    return [file for file in files if file.read_bytes()[:3] in (b"\x89PN", b"\xff\xd8\xff")]


def test_a_storage_that_takes_long_leaves_no_blank_screen(browser, tiny_workshop):
    """Who this phone is may be in its other copy alone: nothing is shown before that was read."""
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    page.add_init_script(SLOW)
    page.goto(tiny_workshop.address)
    page.clock.run_for(1000)
    expect(page.get_by_role("heading", name="Looking at what this phone keeps")).to_be_visible()
    page.evaluate("storageAnswers()")
    expect(page.get_by_role("button", name="Read the invitation")).to_be_visible()
    context.close()


def test_a_phone_that_is_known_shows_its_work_before_its_copies_are_compared(phone):
    phone.add_init_script(SLOW)
    phone.reload()
    expect(phone.get_by_role("heading", name="No open job")).to_be_visible()
    expect(phone.get_by_text("is open in another window")).to_have_count(0)
    phone.get_by_role("button", name="this phone").click()
    phone.evaluate("storageAnswers()")
    expect(phone.get_by_text("is open in another window")).to_have_count(0)
