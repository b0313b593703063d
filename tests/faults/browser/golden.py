"""
Golden profiles: a phone, its workshop and its files, as a build of the app once left them.

They are kept for ever, and every later build must open them. To make one of today's build, when
what a phone keeps has taken a new form:

    PYTHONPATH=tests:server python -m faults.browser.golden 2026-11-29

The phone holds one job that the workshop has, and one of which it has nothing; a number was lost
out of both its places and told, and nobody has read that. The app itself is in it, too, in the
cache of its service worker. `said.json` says what a later build must find.
"""

from __future__ import annotations

import itertools
import json
import re
import sys
import tarfile
import tempfile
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, Playwright, expect, sync_playwright

import hatch_build
from browser.film import Film, photograph
from browser.phone import Phone
from browser.serving import ROOT, ServedWorkshop
from faults.browser.oracle import own_entries
from faults.browser.rig import Rig, everything_goes_out, go_to_the_job, is_closed
from faults.proxy import Proxy
from twoturns.ledger.bodies import EDITION
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle

GOLDEN = ROOT / "tests" / "golden"
#: The storage of a browser belongs to an address with its port, so that must be the same for ever.
ADDRESS = "http://golden.localhost"
#: What of a profile holds what the app keeps; the rest the browser makes anew.
KEPT = ("IndexedDB", "File System", "WebStorage", "Service Worker")
#: Typeface, pictures and the code reader are most of the app's bytes, and no part of how it works.
LIGHTER = """async () => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name)
    for (const kept of await cache.keys())
      if (/\\.(woff2|png|wasm)$/.test(kept.url)) await cache.delete(kept)
  }
}"""
#: The canary heard of one number more than is here: as if the last entry had gone from both places.
LOSES_ONE = """() => {
  const [, text] = /two-turns-last=([^;]*)/.exec(document.cookie)
  const last = JSON.parse(decodeURIComponent(text))
  const more = JSON.stringify({ ...last, seq: last.seq + 1 })
  const lasts = 'Max-Age=86400; Path=/; SameSite=Strict'
  document.cookie = `two-turns-last=${encodeURIComponent(more)}; ${lasts}`
}"""
#: Which build runs: its script is named by its content.
SCRIPT = "new URL(document.querySelector('script[type=module]').src).pathname"
#: What is made anew when it is missing: logs, locks, compiled scripts.
LEFT_OUT = re.compile(r"/(LOG|LOG\.old|LOCK|ledger\.db-shm)$|/CacheStorage/.*_1$")
#: How the notice of a loss begins.
LOST = "This phone has lost"
BALLAST_BYTES = 8 * 2**20


class SmallFilm(Film):
    """A camera that sees small pictures: a golden profile is carried by every clone."""

    def __init__(self, path: Path, size: tuple[int, int] = (96, 54)) -> None:
        self.path, self._size = path, size
        self._names = itertools.cycle(["coffee", "chelsea"])
        self.turn()

    def turn(self) -> None:
        self.show(photograph(next(self._names)).resize(self._size))


def golden_rig(playwright: Playwright, folder: Path, workshop: ServedWorkshop) -> Rig:
    """A phone that finds its workshop under the golden address, whatever port it listens on."""
    proxy = Proxy(workshop.port)
    proxy.address = ADDRESS
    also = (f"--host-resolver-rules=MAP golden.localhost:80 127.0.0.1:{proxy.port}",)
    film = SmallFilm(folder / "film.mjpeg")
    return Rig(Phone(playwright, folder / "profile", film, also=also), workshop, proxy)


def joined(playwright: Playwright, folder: Path) -> Rig:
    """A mechanic's phone, enrolled in a workshop that is served with a procedure."""
    workshop = ServedWorkshop(folder)
    publish(Store(workshop.data), tiny_bundle(), datetime.now(UTC))
    workshop.start()
    rig = golden_rig(playwright, folder, workshop)
    rig.join()
    return rig


def make(playwright: Playwright, folder: Path, into: Path) -> None:
    rig = joined(playwright, folder)
    workshop = rig.workshop
    with rig.opened() as page:
        close_the_job(rig, page)
        done = page.evaluate("location.hash").split("/")[3]
        page.goto(f"{ADDRESS}/#/bay")
        rig.cut()
        go_to_the_job(page)
        rig.mechanic(page).work(until=lambda screen: screen.step == "4")
        into.mkdir(parents=True)
        write_job(page, into / "job.zip")
        page.evaluate(LOSES_ONE)
        for _ in range(2):  # what is told at a start is in the journal from the next one on
            page.reload()
            expect(page.get_by_role("alert").filter(has_text=LOST)).to_be_visible()
            page.wait_for_selector("main.bay:not([aria-busy]) h1")
        page.evaluate(LIGHTER)
        ids = [one.id for one in own_entries(page)]
        script = page.evaluate(SCRIPT)
        said = {"script": script, "edition": EDITION, "lost": 1, "unshown": [], "entries": ids}
    workshop.run("export", done, "--out", str(into / "bag.zip"), data=True)
    leave(into, said, folder / "profile", workshop)


def close_the_job(rig: Rig, page: Page) -> None:
    """The one job is worked to its end, and the workshop has all of it."""
    assert rig.work(page, until=is_closed)
    everything_goes_out(page)


def leave(into: Path, said: Mapping[str, object], profile: Path, workshop: ServedWorkshop) -> None:
    """Keep what a browser and its workshop have, once both are shut, and what was said of it."""
    workshop.kill()
    into.mkdir(parents=True, exist_ok=True)
    (into / "said.json").write_text(json.dumps(said, indent=1) + "\n")
    pack(into / "phone.tar.xz", [profile / "Default" / name for name in KEPT])
    pack(into / "workshop.tar.xz", [workshop.data])


def write_job(page: Page, to: Path) -> None:
    """Write the job on the screen to a file, as a phone without a line hands it over."""
    page.locator(".head").click()
    page.get_by_role("button", name="Where it all is").click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Write it to a file").click()
    download.value.save_as(to)
    expect(page.get_by_role("heading", name="only on this phone")).to_be_visible()


def pack(archive: Path, folders: list[Path]) -> None:
    """Pack folders, without the ballast: random bytes that a phone makes anew."""

    def lighter(member: tarfile.TarInfo) -> tarfile.TarInfo | None:
        is_ballast = member.isfile() and member.size == BALLAST_BYTES
        return None if is_ballast or LEFT_OUT.search(member.name) else member

    with tarfile.open(archive, "w:xz", preset=9) as tar:
        for folder in folders:
            tar.add(folder, folder.name, filter=lighter)


def unpack(archive: Path, into: Path) -> None:
    into.mkdir(parents=True, exist_ok=True)
    with tarfile.open(archive) as tar:
        tar.extractall(into, filter="data")


def main(make: Callable[[Playwright, Path, Path], None], profiles: Path, name: str) -> None:
    """Make one of today's build, in a folder of its own among those of its sort."""
    hatch_build.bring_up_to_date(ROOT, install=False)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        make(playwright, Path(folder), profiles / name)


if __name__ == "__main__":
    main(make, GOLDEN, *sys.argv[1:])
