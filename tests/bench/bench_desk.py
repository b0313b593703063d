"""
How soon an owner's browser is of use in a workshop of 100,000 records, and what it moves for that.

Run by hand: `PYTHONPATH=server:tests python tests/bench/bench_desk.py [RECORDS...]`.

For each size a ledger is put on the disk as years of work would have left it (`grown.py`), with as
many open jobs in both. A new browser joins as an owner: timed from the key that joins until what
needs eyes is listed, and until all that a desk is told unasked lies here; counted is what came from
the API by then, packed as it came. Then the oldest closed job and the page of lots are opened, as
they are in a browser that holds neither. Goals are ratios of the larger to the smaller, in one run.
"""

from __future__ import annotations

import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from grown import grown
from playwright.sync_api import Page, Playwright, expect, sync_playwright

import hatch_build
from browser.chromium import DESK, launched
from browser.serving import ROOT, ServedWorkshop

SIZES = (1_000, 100_000)
RECORDS_A_JOB = 6
LONGEST_MS = 60_000
GOAL = 1.5
# Of a database of the browser's: the place up to which it has been told all that a desk is told.
WHOLE = """() => new Promise((done) => {
  const look = (base) => {
    const asked = base.transaction('things').objectStore('things').get('seen')
    asked.onsuccess = () => {
      const { told = 0, size = -1 } = asked.result ?? {}
      if (told >= size && size > 0) return base.close(), done(true)
      setTimeout(() => look(base), 20)
    }
  }
  const opened = indexedDB.open('two-turns')
  opened.onsuccess = () => look(opened.result)
})"""


@dataclass
class Found:
    """Seconds, and bytes that came from the API until the desk had all that it is told."""

    records: int
    listed_s: float
    whole_s: float
    api_bytes: int
    job_s: float
    lots_s: float


def measured(playwright: Playwright, folder: Path, records: int) -> Found:
    """Make a workshop of so many records, and join it as an owner with a new browser."""
    made = grown(folder / "data", records // RECORDS_A_JOB)
    workshop = ServedWorkshop(folder)
    workshop.start()
    browser = launched(playwright)
    try:
        page = browser.new_context(**DESK).new_page()
        page.set_default_timeout(LONGEST_MS)
        expect.set_options(timeout=LONGEST_MS)
        moved = bytes_of_the_api(page)
        join(page, workshop)
        began = time.perf_counter()
        page.get_by_role("button", name="It is the same: join this workshop").click()
        expect(page.get_by_role("button", name="Open the job")).to_be_visible()
        listed = time.perf_counter() - began
        page.wait_for_function(WHOLE)
        whole, api_bytes = time.perf_counter() - began, sum(moved)
        job = seconds(page, f"#/desk/jobs/{made.jobs[0]}", ".job-vehicle")
        lots = seconds(page, "#/desk/lots", ".found-row")
        return Found(records, listed, whole, api_bytes, job, lots)
    finally:
        browser.close()
        workshop.kill()


def bytes_of_the_api(page: Page) -> list[int]:
    """Collect what each answer of the API weighs as it comes over the line, with its headers."""
    moved: list[int] = []
    asked: set[str] = set()
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.on(
        "Network.requestWillBeSent",
        lambda one: "/api/" in one["request"]["url"] and asked.add(one["requestId"]),
    )
    session.on(
        "Network.loadingFinished",
        lambda one: one["requestId"] in asked and moved.append(int(one["encodedDataLength"])),
    )
    return moved


def join(page: Page, workshop: ServedWorkshop) -> None:
    """Read an owner's invitation, up to the key that joins."""
    page.goto(workshop.address)
    page.get_by_role("textbox").fill(workshop.invite("owner", "Ada Weir"))
    page.get_by_role("button", name="Read the invitation").click()
    expect(page.get_by_role("heading", name="Compare with the paper")).to_be_visible()


def seconds(page: Page, address: str, sign: str) -> float:
    """Go to an address of the desk; return how long it takes until its sign stands there."""
    began = time.perf_counter()
    page.evaluate("(address) => { location.hash = address }", address)
    expect(page.locator(sign).first).to_be_visible()
    return time.perf_counter() - began


def show(small: Found, large: Found) -> None:
    for name, unit, few, many in (
        ("what needs eyes is listed", "s", small.listed_s, large.listed_s),
        ("all that a desk is told is here", "s", small.whole_s, large.whole_s),
        ("came from the API for that", "kB", small.api_bytes / 1000, large.api_bytes / 1000),
        ("the oldest job is opened", "s", small.job_s, large.job_s),
        ("the lots are listed", "s", small.lots_s, large.lots_s),
    ):
        print(
            f"{name}: {many:.2f} {unit} of {large.records} records, {few:.2f} of {small.records}: "
            f"{many / few:.2f} times (goal {GOAL})"
        )


def main() -> None:
    small, large = [int(each) for each in sys.argv[1:]] or SIZES
    hatch_build.bring_up_to_date(ROOT, install=False)
    found: list[Found] = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        for records in (small, large):
            (folder := Path(name) / str(records)).mkdir()
            found.append(measured(playwright, folder, records))
    show(*found)


if __name__ == "__main__":
    main()
