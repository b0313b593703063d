"""
A phone comes back after a long time to a line that is hardly one: slow, late, and up and down.

All of it converges, and the screen says what goes now and how much is left. Here with one job on
a line that is faster and fails more often; with 40 jobs at 2 kB/s in the long run.
"""

from __future__ import annotations

import re
import time
from datetime import UTC, datetime
from random import Random

import pytest
from playwright.sync_api import Page

from browser.mechanic import LONGEST_PAUSE_MS
from browser.phone import Phone
from browser.serving import serving
from faults.browser.golden import SmallFilm
from faults.browser.oracle import check_all_arrived, own_entries
from faults.browser.rig import Rig, go_to_the_job, is_closed
from faults.proxy import Line, Proxy, always, passes
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

READING = re.compile(r"^Reading from the workshop: \d+ of \d+ records\.$")
ENTRIES = re.compile(r"^Sending entries 1 to \d+ of \d+\. \d+ of \d+ have gone, \d+ kB of photos")
PHOTO = re.compile(r"^Sending photo 1 of 1, (\d+) kB of \d+ kB\. 0 of 1 has gone, \d+ kB of photos")
#: What others did meanwhile, in records.
OF_OTHERS = 90
#: A picture of a new edition: more than the line carries in one of its up-times.
PICTURE = Random(24).randbytes(120_000)
COUNT = """() => new Promise((resolve, reject) => {
  const opening = indexedDB.open('two-turns')
  opening.onerror = () => reject(opening.error)
  opening.onsuccess = () => {
    const stores = opening.result.transaction(['entries', 'assets'])
    const [entries, assets] = ['entries', 'assets'].map((name) => stores.objectStore(name).count())
    stores.oncomplete = () => { opening.result.close(); resolve([entries.result, assets.result]) }
  }
})"""

#: Every word of the status, the briefest too: whoever looks now and then misses some.
HEAR = """() => {
  const status = document.querySelector('main p[role=status]')
  globalThis.heard = [status.innerText]
  const hear = () => { if (status.innerText !== heard.at(-1)) heard.push(status.innerText) }
  const words = { childList: true, characterData: true, subtree: true }
  new MutationObserver(hear).observe(status, words)
}"""


@pytest.fixture
def workshop(tmp_path):
    with serving(tmp_path) as served:
        yield served


def test_a_phone_converges_on_a_line_that_is_slow_and_flaps(playwright, workshop, tmp_path):
    line = Line(bytes_a_second=100_000, latency_s=0.05, flaps_s=(0.7, 0.2))
    rig = slow_rig(playwright, workshop, tmp_path)
    rig.join()
    words = come_back(rig, line, jobs=1, within_s=300)
    for said in (READING, ENTRIES):
        assert any(said.match(one) for one in words), words
    steps = [int(found[1]) for one in words if (found := PHOTO.match(one))]
    assert len(set(steps)) > 2, words


def slow_rig(playwright, workshop, folder) -> Rig:
    publish(Store(workshop.data), tiny_bundle(), datetime.now(UTC))
    film = SmallFilm(folder / "film.mjpeg", size=(256, 144))
    return Rig(Phone(playwright, folder / "profile", film), workshop, Proxy(workshop.port))


def come_back(rig: Rig, line: Line, jobs: int, within_s: float) -> list[str]:
    """Work without a line, then send it all over a poor one; return what the screen said of it."""
    rig.cut()
    with rig.opened() as page:
        for _ in range(jobs):
            go_to_the_job(page)
            rig.mechanic(page).work(until=is_closed)
            page.goto(f"{rig.proxy.address}/#/bay")
    for number in range(OF_OTHERS):
        tool = {"tool": f"TW-{number}", "type": "torque_wrench", "label": "a wrench of others"}
        rig.workshop.state("tool.registered", tool)
    publish(Store(rig.workshop.data), tiny_bundle(2, picture=PICTURE), datetime.now(UTC))
    with rig.opened("#/bay/places") as page:
        page.locator("main p[role=status]").wait_for()
        page.evaluate(HEAR)  # before there is a line: its first words are brief
        rig.proxy.line, rig.proxy.plan = line, always(passes)
        words = words_until_all_is_here(page, rig.proxy, within_s)
        check_all_arrived(Store(rig.workshop.data), own_entries(page))
    return words


def words_until_all_is_here(page: Page, proxy: Proxy, within_s: float) -> list[str]:
    """Pass over the pauses between two tries at once; what is under way has its time."""
    until = time.monotonic() + within_s
    while True:
        entries, assets = page.evaluate(COUNT)
        words = page.evaluate("heard")
        if words[-1] == "Everything is in the workshop." and entries > OF_OTHERS and assets == 2:
            return words
        assert time.monotonic() < until, (entries, assets, words)
        if not proxy.is_busy:
            page.clock.fast_forward(LONGEST_PAUSE_MS)
        page.wait_for_timeout(100)
