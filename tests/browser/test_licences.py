"""The licences of what the app bundles, where a person looks for them; also without a line."""

import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import DESK, PHONE
from browser.mechanic import box_of

pytestmark = pytest.mark.browser


def test_the_licences_are_shown_on_a_phone_without_a_line(browser, tiny_workshop):
    phone = browser.new_context(**PHONE)
    page = phone.new_page()
    seen = violations(page)
    enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    phone.set_offline(True)
    page.get_by_role("button", name="this phone", exact=True).click()
    shown(page, "this-phone")
    page.get_by_role("button", name="Licences").click()
    expect(page.get_by_role("heading", name="Licences")).to_be_visible()
    font = page.locator("pre", has_text="SIL OPEN FONT LICENSE Version 1.1")
    box_of(font)
    expect(font).to_be_in_viewport()
    shown(page, "licences")
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    page.get_by_role("link", name="Back to Two Turns").click()
    expect(page.get_by_role("button", name="Open a job")).to_be_visible()
    phone.close()
    assert wide <= 0
    assert seen == []


def test_the_desk_leads_to_the_licences(browser, tiny_workshop):
    desk = browser.new_context(**DESK)
    page = desk.new_page()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("owner", "O. Weir"))
    shown(page, "desk-licences")
    page.get_by_role("link", name="Licences").click()
    expect(page.get_by_role("heading", name="preact 11", exact=False)).to_be_visible()
    desk.close()


def shown(page, name):
    """Keep a picture, for whoever asks with PICTURES=FOLDER."""
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=name != "licences")
