"""Two builds of the app and one phone: an open job is finished on the build it was begun with."""

from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol
from browser.chromium import PHONE
from browser.mechanic import Mechanic
from browser.serving import SERVER
from faults.browser.oracle import check_all_arrived, own_entries
from faults.browser.rig import everything_goes_out, go_to_the_job, is_closed
from faults.proxy import Proxy
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(15)]

STATIC = SERVER / "twoturns" / "static"
BAY = "**/assets/bay-*.js"
NEWER = "\n;window.isNewer = true\n"
LOOK = "navigator.serviceWorker.getRegistration().then((one) => one.update()).catch(() => null)"
IS_SETTLED = "navigator.serviceWorker.getRegistration().then((one) => one.installing === null)"
WAITS = "navigator.serviceWorker.getRegistration().then((one) => one.waiting !== null)"


def newer_build(folder: Path) -> Path:
    """The same app with one line more, and a worker that knows the new file by its hash."""
    shutil.copytree(STATIC, folder)
    (script,) = folder.glob("assets/first-*.js")
    worker = folder / "sw.js"
    text = worker.read_text()
    before = hashlib.sha256(script.read_bytes()).hexdigest()
    script.write_text(script.read_text() + NEWER)
    after = hashlib.sha256(script.read_bytes()).hexdigest()
    assert before in text
    (version,) = set(re.findall(r"\b[0-9a-f]{16}\b", text))
    worker.write_text(text.replace(before, after).replace(version, after[:16]))
    return folder


def half_build(whole: Path, folder: Path) -> Path:
    """A newer build of which a file comes only half: never to be part of the app."""
    shutil.copytree(whole, folder)
    (script,) = folder.glob("assets/first-*.js")
    script.write_bytes(script.read_bytes()[: script.stat().st_size // 2])
    return folder


def test_an_open_job_is_finished_before_a_newer_build_is_offered(
    browser, film, tiny_workshop, tmp_path
):
    proxy = Proxy(tiny_workshop.port)
    proxy.files = STATIC
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    enrol(page, proxy.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    go_to_the_job(page)
    mechanic = Mechanic(page, film=film)
    mechanic.work(until=lambda screen: screen.step == "2")
    whole = newer_build(tmp_path / "newer")

    proxy.files = half_build(whole, tmp_path / "half")
    heard = len(proxy.heard)
    page.evaluate(LOOK)
    # The browser begins to install some time after it has found the newer worker.
    while not any(re.match(r"/assets/first-.*\.js", path) for _, path in proxy.heard[heard:]):
        page.wait_for_timeout(20)
    page.wait_for_function(f"async () => await {IS_SETTLED}")
    assert page.evaluate(WAITS) is False

    proxy.files = whole
    page.evaluate(LOOK)
    page.wait_for_function(f"async () => await {WAITS}")
    offer = page.get_by_role("button", name="Take the newer one")
    for _ in range(2):  # loaded anew as well: the worker that is there serves its own build
        expect(page.locator("main.bay h1")).to_be_visible()
        assert not is_newer(page)
        expect(offer).to_have_count(0)
        page.reload()
    mechanic.work(until=is_closed)
    everything_goes_out(page)
    check_all_arrived(Store(tiny_workshop.data), own_entries(page))
    expect(offer).to_be_visible()
    page.goto(f"{proxy.address}/#/bay")
    expect(page.get_by_role("heading", name="No open job")).to_be_visible()
    expect(offer).to_be_visible()
    assert not is_newer(page)
    offer.click()
    page.wait_for_function("() => window.isNewer === true")
    expect(page.get_by_role("heading", name="No open job")).to_be_visible()
    expect(offer).to_have_count(0)
    context.close()
    proxy.close()


def is_newer(page: Page) -> bool:
    return bool(page.evaluate("window.isNewer === true"))


def test_a_screen_whose_chunk_cannot_be_had_says_so_and_comes_with_the_line(browser, tiny_workshop):
    context = browser.new_context(**PHONE, service_workers="block")  # as before it has the app
    page = context.new_page()
    link = tiny_workshop.invite("mechanic", "Ada Weir")
    enrol(page, tiny_workshop.address, link, has_worker=False)
    context.route(BAY, lambda route: route.abort())
    page.reload()
    page.get_by_role("button", name="this phone", exact=True).click()
    expect(
        page.get_by_role("heading", name="This screen is not on this device yet")
    ).to_be_visible()
    page.get_by_role("button", name="Back to the screen before").click()
    expect(page.get_by_role("heading", name="No open job")).to_be_visible()
    page.get_by_role("button", name="this phone", exact=True).click()
    context.unroute(BAY)
    context.set_offline(True)
    context.set_offline(False)
    expect(page.get_by_role("button", name="Licences")).to_be_visible()
    context.close()
