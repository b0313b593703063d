"""The line: somebody else answers on it, it is cut in the middle of a photo, it is hardly there."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import PHONE
from browser.mechanic import IN_THE_WORKSHOP, IN_TIME_S, LONGEST_PAUSE_MS, Mechanic
from faults.browser.oracle import Oracle, check_all_arrived, own_entries
from faults.browser.rig import everything_goes_out, go_to_the_job, is_closed
from faults.proxy import PORTALS, Fault, Request, always, passes, portal_json, request_cut
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(15)]

CACHES = "caches.keys().then((names) => names.sort())"
UPDATE = """navigator.serviceWorker.getRegistration()
  .then((worker) => worker.update()).then(() => 'updated', () => 'refused')"""


@pytest.fixture
def oracle():
    return Oracle()


@pytest.fixture
def phone(browser, tiny_workshop, proxy, oracle):
    """A phone that need not survive its browser, enrolled by way of the proxy."""
    context = browser.new_context(**PHONE)
    oracle.listen(context)
    page = context.new_page()
    page.clock.install()
    faults = violations(page)
    enrol(page, proxy.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
    yield page
    assert faults == []
    context.close()


def test_no_answer_of_a_portal_counts(phone, film, tiny_workshop, proxy, oracle):
    caches = phone.evaluate(CACHES)
    for portal in PORTALS:
        proxy.plan = always(portal)
        phone.reload()  # the worker has the whole app, whoever answers
        go_to_the_job(phone)
        Mechanic(phone, film=film).work(until=lambda screen: screen.step == "2")
        heard = len(proxy.heard)
        phone.clock.fast_forward(LONGEST_PAUSE_MS)
        until = time.monotonic() + IN_TIME_S
        while len(proxy.heard) == heard or proxy.is_busy:
            assert time.monotonic() < until, "nothing was asked"
            phone.wait_for_timeout(50)
        assert phone.locator(".head-place").inner_text() == f"{oracle.kept} on this phone"
        if portal is not portal_json:  # what calls itself JSON gets as far as its worker script
            assert phone.evaluate(UPDATE) == "refused"
    assert phone.evaluate(CACHES) == caches
    assert IN_THE_WORKSHOP not in oracle.words("head")
    proxy.plan = always(passes)
    Mechanic(phone, film=film).work(until=is_closed)
    everything_goes_out(phone)
    check_all_arrived(Store(tiny_workshop.data), own_entries(phone))


def test_a_photo_that_is_cut_at_any_byte_goes_on_and_arrives_whole(
    phone, film, tiny_workshop, proxy
):
    """Cut at bytes that grow, so that some fall into the head and some far into the body."""
    cuts = iter([60, 400, 900, 5000, 30_000, 64_000])

    def plan(request: Request) -> Fault:
        at = next(cuts, None) if request.method == "PATCH" else None
        return passes if at is None else request_cut(at)

    proxy.plan = plan
    go_to_the_job(phone)
    Mechanic(phone, film=film).work(until=is_closed)
    everything_goes_out(phone)
    assert next(cuts, None) is None, "not all cuts were made"
    check_all_arrived(Store(tiny_workshop.data), own_entries(phone))
