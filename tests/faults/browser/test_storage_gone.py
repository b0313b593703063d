"""Storage that is slow, refused, damaged or gone, seen through the app's own screens."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.app import enrol
from browser.chromium import PHONE

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


def test_a_storage_that_takes_long_leaves_no_blank_screen(phone):
    phone.add_init_script(SLOW)
    phone.reload()
    phone.clock.run_for(1000)
    expect(phone.get_by_role("heading", name="Looking at what this phone keeps")).to_be_visible()
    phone.evaluate("storageAnswers()")
    expect(phone.get_by_role("heading", name="No open job")).to_be_visible()
