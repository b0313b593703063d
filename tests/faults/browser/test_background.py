"""Where the browser has Background Sync, what waits goes out though no page of the app is open."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol
from browser.chromium import PHONE
from browser.mechanic import Mechanic
from faults.browser.oracle import check_all_arrived, own_entries, received
from faults.browser.rig import everything_goes_out, go_to_the_job, is_closed
from faults.proxy import Fault, Proxy, Request, always, passes, refused
from twoturns.store import Store

pytestmark = pytest.mark.browser

IN_TIME_S = 30
OPEN_PAGE = "/api/workshop"
TAG = "send-what-waits"
TAGS = "navigator.serviceWorker.ready.then(({ sync }) => sync.getTags())"


def only_the_open_page(request: Request) -> Fault:
    return passes if request.path == OPEN_PAGE else refused


def test_what_waits_goes_out_by_the_worker_and_is_not_doubled(whole_browser, film, tiny_workshop):
    proxy = Proxy(tiny_workshop.port)
    context = whole_browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    enrol(page, proxy.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
    go_to_the_job(page)
    proxy.plan = only_the_open_page
    Mechanic(page, film=film).work(until=lambda screen: screen.step == "2")
    job, written = page.evaluate("location.hash"), own_entries(page)
    page.wait_for_function(f"() => {TAGS}.then((tags) => tags.includes('{TAG}'))")
    # A page of the same origin, in which no app runs: the browser's own patience is five minutes.
    page.goto(f"{proxy.address}{OPEN_PAGE}")
    proxy.plan = always(passes)
    wake_the_worker(page, proxy.address)
    until = time.monotonic() + IN_TIME_S
    while not {one.id for one in written} <= ids_in(tiny_workshop):
        assert time.monotonic() < until, "the worker sent nothing"
        page.wait_for_timeout(200)
    page.goto(f"{proxy.address}/{job}")
    Mechanic(page, film=film).work(until=is_closed)
    everything_goes_out(page)
    check_all_arrived(Store(tiny_workshop.data), own_entries(page))
    context.close()
    proxy.close()


def wake_the_worker(page: Page, origin: str) -> None:
    """Have the browser give the worker its event now."""
    session = page.context.new_cdp_session(page)
    found: list[str] = []

    def hear(event: dict) -> None:
        found.extend(
            one["registrationId"]
            for one in event["registrations"]
            if one["scopeURL"].startswith(origin) and not one["isDeleted"]
        )

    session.on("ServiceWorker.workerRegistrationUpdated", hear)
    session.send("ServiceWorker.enable")
    while not found:
        page.wait_for_timeout(50)
    said = {"origin": origin, "registrationId": found[-1], "tag": TAG, "lastChance": False}
    session.send("ServiceWorker.dispatchSyncEvent", said)


def ids_in(workshop) -> set[str]:
    return {one.id for one in received(Store(workshop.data))}
