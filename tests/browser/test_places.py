"""A photo is as far as its bytes are: its record may be in the workshop long before them."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.app import enrol
from browser.chromium import PHONE
from browser.mechanic import AT_THE_VAN, Mechanic, goes_out

pytestmark = pytest.mark.browser


def test_a_photo_whose_bytes_do_not_get_through_is_only_on_this_phone(browser, film, tiny_workshop):
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    page.route("**/api/uploads*", lambda route: route.abort())
    page.get_by_role("button", name="Open a job").click()
    other = {"The VIN, as it is stamped": "ZZ9DEMA24HB000124", "The plate": "WEIR 34"}
    mechanic = Mechanic(page, film=film, figures={**AT_THE_VAN, **other})
    mechanic.work(until=lambda screen: screen.step == "4")
    head = page.locator(".head-place")
    expect(head).to_have_text("1 on this phone")
    head.click()
    page.get_by_role("button", name="Where it all is").click()
    expect(page.get_by_text("1 photo, ")).to_contain_text("waits as well")
    expect(page.get_by_role("heading", name="1 is only on this phone")).to_be_visible()
    page.get_by_role("button", name="back").click()
    page.get_by_role("button", name="all jobs").click()
    expect(page.get_by_role("button", name="1 photo on this phone")).to_be_visible()

    page.unroute("**/api/uploads*")
    goes_out(page, page.get_by_role("button", name="in the workshop"))
    context.close()
