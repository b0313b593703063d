"""The way in: an invitation pasted into the app, the fingerprint compared, everything pulled."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import PHONE

pytestmark = pytest.mark.browser


def test_a_pasted_invitation_lets_the_phone_in_and_brings_the_procedure(browser, workshop):
    workshop.publish("van-timing-drive")
    context = browser.new_context(**PHONE)
    page = context.new_page()
    seen = violations(page)
    enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Open a job").click()
    expect(page.get_by_role("heading", name="The VIN, as it is stamped")).to_be_visible()
    assert "secret" not in page.url
    assert seen == []
    context.close()


def test_half_an_invitation_is_refused_in_words(browser, workshop):
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.goto(workshop.address)
    link = workshop.invite("mechanic", "Ada Weir")
    page.get_by_role("textbox").fill(link[:-20])
    page.get_by_role("button", name="Read the invitation").click()
    expect(page.get_by_role("alert")).to_contain_text("This text is not a whole invitation.")
    context.close()


def test_an_invitation_lets_in_one_device_only(browser, workshop):
    link = workshop.invite("mechanic", "Ada Weir")
    first, second = browser.new_context(**PHONE), browser.new_context(**PHONE)
    before = first.new_page()
    enrol(before, workshop.address, link)
    expect(before.get_by_text("Everything is in the workshop.")).to_be_visible()
    page = second.new_page()
    page.goto(link)
    page.get_by_role("button", name="It is the same").click()
    expect(page.get_by_role("alert")).to_contain_text("came in on this invitation before")
    first.close()
    second.close()
