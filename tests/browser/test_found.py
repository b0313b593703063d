"""A finding from the step to the desk and back; and a job that is parked and goes on."""

from __future__ import annotations

import re
import time

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.app import enrol, violations
from browser.chromium import DESK, PHONE
from browser.film import Film
from browser.mechanic import IN_TIME_S, Mechanic, comes_to, goes_out, hold
from browser.serving import ServedWorkshop

pytestmark = [pytest.mark.browser, pytest.mark.slow(15)]


def tap(mechanic: Mechanic, name: str | re.Pattern[str]) -> None:
    mechanic.let_it_settle()
    mechanic.page.get_by_role("button", name=name).click()
    mechanic.see_it_kept()


def keep(mechanic: Mechanic) -> None:
    mechanic.let_it_settle()
    hold(mechanic.page, mechanic.main_key)
    mechanic.see_it_kept()


def photograph(mechanic: Mechanic) -> None:
    """Take the photo and keep it: with the way here the third touch."""
    page = mechanic.page
    expect(page.get_by_role("button", name="Take the photo")).to_be_visible()
    page.get_by_role("button", name="Take the photo").click()
    page.locator(".finder video").wait_for()
    mechanic.page.clock.run_for(1_000)
    page.get_by_role("button", name="Take the photo").click()
    expect(page.get_by_role("button", name="Keep this photo")).to_be_visible()
    mechanic.let_it_settle()
    mechanic.main_key.click()
    mechanic.see_it_kept()


def comes_back(page: Page, address: str) -> None:
    """Let the moment pass for which what was kept is shown, until the screen before is there."""
    until = time.monotonic() + IN_TIME_S
    while page.evaluate("location.hash") != address:
        assert time.monotonic() < until, page.evaluate("location.hash")
        page.clock.run_for(500)


def go(page: Page, *parts: str) -> None:
    """Into a screen of the job that is open."""
    job = page.evaluate("location.hash").split("/")[:4]
    page.evaluate("(to) => { location.hash = to }", "/".join([*job, *parts]))


def test_a_finding_is_noted_in_three_touches_decided_at_the_desk_and_done(
    browser: Browser, film: Film, tiny_workshop: ServedWorkshop
) -> None:
    phone, desk = browser.new_context(**PHONE), browser.new_context(**DESK)
    page, owner = phone.new_page(), desk.new_page()
    faults = violations(page), violations(owner)
    page.clock.install()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    mechanic = Mechanic(page, film=film)
    page.get_by_role("button", name="Open a job").click()
    at_work = mechanic.work(until=lambda screen: "/job/" in screen.address)
    job = at_work.address.split("/")[3]
    here = page.evaluate("location.hash")

    # The step's own key, the photo, kept.
    tap(mechanic, "Found something")
    photograph(mechanic)
    comes_back(page, here)  # the work stands where it stood
    comes_to(page)
    go(page, "order")
    expect(page.get_by_role("button", name="The customer is to be asked.")).to_be_visible()

    enrol(owner, tiny_workshop.address, tiny_workshop.invite("owner", "Bela Weir"))
    expect(owner.get_by_role("button", name="a finding is open")).to_be_visible()
    owner.goto(f"{tiny_workshop.address}/#/desk/jobs/{job}")
    found = owner.locator("section", has_text="What was found beside the work")
    expect(found).to_contain_text("The customer is to be asked.")
    found.get_by_role("button", name="Add work for it").click()
    found.get_by_label("What is to be done").fill("New seal behind the wheel")
    found.get_by_label("Minutes it takes").fill("40")
    found.get_by_role("button", name="Add it").click()
    expect(found).to_contain_text("New seal behind the wheel")
    found.get_by_role("button", name="The customer’s word").click()
    found.get_by_role("button", name="Keep it").click()
    expect(found).to_contain_text("The customer says yes, by call: 1 extra to do.")
    expect(owner.get_by_text("In the workshop", exact=False).first).to_be_visible()

    # The yes comes to the phone, keeps the good end shut, and is ticked with words.
    agreed = page.get_by_role("button", name="The customer says yes, by call: 1 extra to do.")
    goes_out(page, agreed)
    go(page, "close")
    page.locator("summary", has_text="Finished").click()
    expect(page.get_by_text("The customer says yes, by call").last).to_be_visible()
    go(page, "order")
    agreed.click()
    tap(mechanic, "Do the extra work")
    page.get_by_label("What was done").fill("Seal renewed")
    page.get_by_role("button", name="Words alone").click()
    keep(mechanic)
    goes_out(page, page.get_by_text("Put right."))

    # Parked at one tap with its reason, told in today's list, gone on with at one more.
    go(page, "park")
    tap(mechanic, "A part is missing")
    row = page.get_by_role("button", name="Parked: a part is missing")
    row.click()
    expect(page.get_by_role("heading", name="This job is parked")).to_be_visible()
    tap(mechanic, "Go on with it")
    comes_back(page, here)
    phone.close()
    desk.close()
    assert faults == ([], [])
