"""A phone before a bad line before a workshop, with the oracle listening; each may be killed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Error, Page, Playwright, expect

from browser.app import enrol
from browser.chromium import browser_process, kill
from browser.film import Film
from browser.mechanic import Mechanic, Screen, comes_to
from browser.phone import Phone
from browser.serving import ServedWorkshop
from faults.browser.oracle import Oracle
from faults.proxy import Proxy, always, refused


@dataclass
class Rig:
    phone: Phone
    workshop: ServedWorkshop
    proxy: Proxy
    oracle: Oracle = field(default_factory=Oracle)

    @contextmanager
    def opened(self, at: str = "") -> Iterator[Page]:
        """Open the app, at a screen's address; faults of the app's fail the test."""
        with self.phone.opened() as opened:
            self.oracle.listen(opened.context)
            opened.page.goto(f"{self.proxy.address}/{at}")
            yield opened.page
            assert opened.faults == []

    def join(self) -> None:
        """Enrol the phone while all is well."""
        with self.phone.opened() as opened:
            enrol(opened.page, self.proxy.address, self.workshop.invite("mechanic", "Ada Weir"))
            expect(opened.page.get_by_text("Everything is in the workshop.")).to_be_visible()

    def cut(self) -> None:
        """No line: whoever asks is not answered."""
        self.proxy.plan = always(refused)

    def kill(self) -> None:
        """Kill the browser at once. Its clock is not asked: it may be at work."""
        kill(self.phone.folder)

    @property
    def is_dead(self) -> bool:
        return browser_process(self.phone.folder) is None

    def mechanic(self, page: Page) -> Mechanic:
        return Mechanic(page, film=self.phone.film)

    def work(self, page: Page, until: Callable[[Screen], bool]) -> bool:
        """Work on the one job, opening it if need be; False when the browser was killed."""
        try:
            go_to_the_job(page)
            self.mechanic(page).work(until)
        except (Error, AssertionError):
            # What the mechanic saw is no more: only a dead browser excuses it.
            if not self.is_dead:
                raise
            return False
        return True


#: The job that this phone has open, or null.
OWN_OPEN_JOB = """async () => {
  const done = (request) => new Promise((good, bad) => {
    request.onsuccess = () => good(request.result)
    request.onerror = () => bad(request.error)
  })
  const db = await done(indexedDB.open('two-turns'))
  const views = db.transaction('views').objectStore('views')
  const jobs = await done(views.index('openHere').getAllKeys())
  db.close()
  return jobs[0] ?? null
}"""


def go_to_the_job(page: Page) -> None:
    page.wait_for_selector("main.bay:not([aria-busy]) h1")
    if page.locator(".head").count():
        return
    # Others work in the same workshop: their jobs are in the list as well, open or half pulled.
    job = page.evaluate(OWN_OPEN_JOB)
    if job is not None:
        page.evaluate("(job) => { location.hash = `#/bay/job/${job}` }", job)
    else:
        page.get_by_role("button", name="Open a job").click()


def is_closed(screen: Screen) -> bool:
    return screen.title == "Closed: Finished"


def everything_goes_out(page: Page) -> None:
    """All is in the workshop, by and by; nothing is pressed."""
    comes_to(page)


def new_rig(playwright: Playwright, workshop: ServedWorkshop, film: Film, folder: Path) -> Rig:
    return Rig(Phone(playwright, folder / "profile", film), workshop, Proxy(workshop.port))
