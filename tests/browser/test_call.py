"""A call on the phone without a line, at the desk once there is one, and the job it becomes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.app import enrol, violations
from browser.caller import go_on, to_advice, to_verdict
from browser.chromium import DESK, PHONE
from browser.mechanic import hold
from browser.serving import ServedWorkshop

pytestmark = [pytest.mark.browser, pytest.mark.slow(20)]


def test_a_call_without_a_line_becomes_a_job_with_nothing_typed_twice(
    browser: Browser, tiny_workshop: ServedWorkshop
) -> None:
    phone = browser.new_context(**PHONE)
    page = phone.new_page()
    faults = violations(page)
    page.clock.install()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
    phone.set_offline(True)

    to_advice(page)
    expect(page.get_by_text("Do not crank it again")).to_be_visible()
    # Neither a page that ends nor the way out takes what was said; who comes back is asked.
    page.reload()
    expect(page.get_by_role("heading", name="Have it recovered")).to_be_visible()
    page.evaluate("location.hash = '#/bay'")
    page.get_by_role("button", name="Take a call").click()
    expect(page.get_by_role("heading", name="A call was begun")).to_be_visible()
    go_on(page)
    expect(page.get_by_role("heading", name="Have it recovered")).to_be_visible()
    to_verdict(page)
    expect(page.get_by_role("heading", name="It counts as due now")).to_be_visible()
    expect(page.get_by_text("Vehicle ÄB 57. Nobody knows when")).to_be_visible()
    go_on(page)
    hold(page, page.get_by_role("button", name="Keep the call"))
    expect(page.get_by_role("button", name="Open the job")).to_be_visible()
    assert page.evaluate("Object.keys(localStorage).filter((key) => /^typed/.test(key))") == []

    phone.set_offline(False)
    desk_context = browser.new_context(**DESK)
    desk = desk_context.new_page()
    enrol(desk, tiny_workshop.address, tiny_workshop.invite("owner", "Bela Weir"))
    desk.evaluate("location.hash = '#/desk/calls'")
    row = desk.get_by_role("link", name="ÄB 57 Mira Oake, +99 55 1234")
    expect(row).to_be_visible()

    page.get_by_role("button", name="Open the job").click()
    page.get_by_role("button", name="Type it").click()
    page.locator("#vin").fill("ZZ9DEMA24HB000123")
    go_on(page)
    go_on(page, Bay="2")  # nothing else is asked
    expect(page.get_by_role("heading", name="Is this the vehicle?")).to_be_visible()
    for known in ("ÄB 57", "88\u202f650 km", "QL-19D4", "Mira Oake"):
        expect(page.get_by_text(known, exact=True).first).to_be_visible()
    hold(page, page.get_by_role("button", name="Open the job"))
    expect(page.locator(".head-place")).to_be_visible()
    page.locator(".head").click()
    expect(page.get_by_role("link", name="Call the customer")).to_be_visible()
    assert faults == []
    desk_context.close()
    phone.close()
