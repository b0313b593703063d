"""A phone signed out, withdrawn or shut out: nothing of what it keeps is shown."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from browser.app import joined
from browser.chromium import PHONE
from browser.mechanic import Mechanic, comes_to, goes_out
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(9)]


@pytest.fixture
def phone(browser, tiny_workshop):
    with joined(browser, PHONE, tiny_workshop, "mechanic", "Ada Weir", has_clock=True) as page:
        yield page


def open_a_job(page: Page, film) -> None:
    page.get_by_role("button", name="Open a job").click()
    Mechanic(page, film=film).work(until=lambda screen: "/job/" in screen.address)
    comes_to(page)


def newest(workshop) -> str:
    return [row.device for row in Store(workshop.data).views.devices() if not row.is_revoked][-1]


def test_signed_out_it_shows_nothing_and_comes_back_by_a_new_invitation(phone, tiny_workshop, film):
    open_a_job(phone, film)
    phone.goto(f"{tiny_workshop.address}/#/bay/settings")
    phone.get_by_role("button", name="Sign this phone out").click()
    expect(
        phone.get_by_text("Everything that was written here is in the workshop.")
    ).to_be_visible()
    phone.get_by_role("button", name="Sign out", exact=True).click()
    expect(phone.get_by_role("heading", name="This phone is signed out")).to_be_visible()
    phone.reload()
    expect(phone.get_by_role("heading", name="This phone is signed out")).to_be_visible()
    expect(phone.get_by_text("WEIR")).to_have_count(0)
    assert phone.evaluate("fetch('/api/log').then((answer) => answer.status)") == 401
    phone.get_by_role("button", name="Open a new invitation").click()
    phone.get_by_role("textbox").fill(tiny_workshop.invite("mechanic", "Ada Weir"))
    phone.get_by_role("button", name="Read the invitation").click()
    phone.get_by_role("button", name="It is the same: join this workshop").click()
    expect(phone.get_by_role("heading", name=re.compile("open jobs?$"))).to_be_visible()
    expect(phone.get_by_text("WEIR 12").first).to_be_visible()


def test_withdrawn_it_says_what_it_still_has_and_shows_nothing_of_it(phone, tiny_workshop, film):
    open_a_job(phone, film)
    tiny_workshop.run("revoke", newest(tiny_workshop), "--because", "lost on the way", data=True)
    withdrawn = phone.get_by_role("heading", name="The owner has withdrawn this phone")
    goes_out(phone, withdrawn)
    expect(phone.get_by_text("WEIR")).to_have_count(0)
    phone.reload()
    expect(withdrawn).to_be_visible()


def test_shut_out_it_shows_nothing_and_says_how_the_rest_gets_out(phone, tiny_workshop, film):
    device = newest(tiny_workshop)
    phone.route("**/api/entries", lambda route: route.abort())
    phone.get_by_role("button", name="Open a job").click()
    Mechanic(phone, film=film).work(until=lambda screen: "/job/" in screen.address)
    tiny_workshop.run("revoke", device, "--because", "stolen", data=True)
    tiny_workshop.run("shut", device, "--because", "stolen", data=True)
    goes_out(phone, phone.get_by_role("heading", name="The owner has shut this phone out"))
    expect(phone.get_by_text("Only on this phone: ")).to_be_visible()
    expect(phone.get_by_role("button", name="Write it to a file")).to_be_visible()
    expect(phone.get_by_text("WEIR")).to_have_count(0)
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
