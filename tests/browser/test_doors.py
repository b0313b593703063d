"""The demo's page: three people come in by it in one browser, each at an address of its own."""

from __future__ import annotations

import re
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from browser.chromium import DESK, PHONE
from browser.mechanic import IN_TIME_S, SETTLED_MS
from browser.serving import COMMAND, environment
from ports import free_port
from served import is_answered
from twoturns.bag.verify import verify

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

#: Where each comes to stand, by what its first page is called.
HOMES = {"mechanic": "3 open jobs", "owner": "Eyes first", "auditor": "Find a job"}
ABOUT = "[location.origin, isSecureContext, (await navigator.serviceWorker.ready).active.state]"


@contextmanager
def demo(folder: Path) -> Iterator[str]:
    """Start the demo as a person does, and give the address that it prints once it is served."""
    port = free_port()
    words = ["demo", "--data", str(folder / "demo"), "--port", str(port)]
    with subprocess.Popen(
        [*COMMAND, *words], env=environment(), stdout=subprocess.PIPE, text=True
    ) as server:
        try:
            assert server.stdout is not None
            lines = iter(server.stdout.readline, "")
            address = next(found[0] for line in lines if (found := re.search(r"http://\S+", line)))
            while not is_answered(port):
                assert server.poll() is None, "the demo has ended"
                time.sleep(0.1)
            yield address
        finally:
            server.terminate()


def come_in(page: Page, role: str) -> Page:
    """Press a door's key, compare, and join, in the tab that it opens."""
    paper = page.locator("code").inner_text()
    with page.context.expect_page() as opened:
        page.get_by_role("button", name=f"Come in as the {role}").first.click()
    tab = opened.value
    expect(tab.get_by_role("heading", name="Compare with the paper")).to_be_visible()
    assert tab.locator(".fingerprint").inner_text() == paper
    tab.get_by_role("button", name="It is the same: join this workshop").click()
    expect(tab.get_by_role("heading", name=HOMES[role], exact=True)).to_be_visible()
    return tab


def assert_is_a_device_of_its_own(context: BrowserContext, role: str, tab: Page) -> None:
    origin, is_secure, worker = tab.evaluate(f"(async () => {ABOUT})()")
    assert origin.startswith(f"http://{role}.localhost:")
    assert is_secure
    assert worker in ("activating", "activated")
    cookies = {one["name"]: one for one in context.cookies(origin)}
    assert cookies["__Host-two-turns"]["domain"] == f"{role}.localhost"
    assert cookies["__Host-two-turns"]["secure"]


def test_three_people_come_in_by_three_doors_in_one_browser(browser, tmp_path):
    with demo(tmp_path) as address:
        context = browser.new_context(**DESK)
        page = context.new_page()
        page.goto(address)
        tabs = {role: come_in(page, role) for role in HOMES}
        for role, tab in tabs.items():
            tab.reload()  # each is still who it was, with the others in
            expect(tab.get_by_role("heading", name=HOMES[role], exact=True)).to_be_visible()
            assert_is_a_device_of_its_own(context, role, tab)
        look_round_as_the_page_says(**tabs)
        context.close()


def tap(key: Locator, comes: Locator) -> None:
    """Tap until it takes: a screen of the phone that has just come takes no tap (`settled.ts`)."""
    until = time.monotonic() + IN_TIME_S
    while not comes.first.is_visible():
        assert time.monotonic() < until, f"{key} led nowhere"
        if key.count():
            key.first.click()
        key.page.wait_for_timeout(SETTLED_MS)


def look_round_as_the_page_says(mechanic: Page, owner: Page, auditor: Page) -> None:
    """What the stations of the tour name is there to be tapped, and what they promise comes."""
    mechanic.set_viewport_size(PHONE["viewport"])
    answer, order = mechanic.get_by_role("textbox"), mechanic.get_by_text("Tensioner nut")
    wrench = mechanic.get_by_text("24 Idler bolt, 33 N·m was really 30.03")
    tap(mechanic.get_by_text("TBR 2260"), wrench)
    mechanic.get_by_role("button", name="It is seen").click(delay=1_000)
    answer.fill("From the hose at the thermostat; dry since.")
    mechanic.get_by_role("button", name="Answer").click(delay=1_000)
    expect(answer).to_be_hidden()
    tap(mechanic.locator(".head"), order)
    tap(order, mechanic.get_by_text("Work on 28"))
    tap(mechanic.get_by_text("Work on 28"), mechanic.get_by_text("28 comes later"))
    pointer = mechanic.get_by_role("heading", name="Set the pointer on the notch")
    tap(mechanic.get_by_role("button", name="Go to 27"), pointer)
    owner.get_by_role("button", name="Follow it up").click()
    expect(owner.get_by_text("Corin Vale").first).to_be_visible()
    owner.get_by_role("link", name="Eyes first").click()
    owner.get_by_role("button", name="TBR 1107: the job left a tool").click()
    owner.get_by_role("button", name="Open the job").click()
    expect(owner.get_by_text("did not hold at first").first).to_be_visible()
    owner.get_by_role("link", name="Today").click()
    expect(owner.get_by_role("button", name="TBR 2260 Ottoline Reeve")).to_contain_text("promised")
    owner.get_by_role("link", name="Calls").click()
    owner.get_by_text("TBR 9157").first.click()
    expect(owner.get_by_role("heading", name="Have it recovered")).to_be_visible()
    auditor.get_by_role("radio", name="Plate").check()
    auditor.get_by_role("searchbox", name="Plate").fill("TBR 0412")
    auditor.get_by_role("button", name="Find").click()
    auditor.get_by_text("TBR 0412").click()
    with auditor.expect_download() as taken:
        auditor.get_by_role("button", name="Take the bag away").click()
    with taken.value.path().open("rb") as bag:
        assert verify(bag).findings == ()
