"""
Fixtures of all tests that drive a browser: the built app, Debian's Chromium, workshops that serve.

A plugin of the whole run (tests/conftest.py): one browser and one Playwright serve all folders.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, expect, sync_playwright

import hatch_build
from alone import alone
from browser.app import enrol
from browser.chromium import EXECUTABLE, PHONE, WHOLE, launched
from browser.film import Film
from browser.mechanic import Mechanic, comes_to
from browser.serving import ROOT, ServedWorkshop
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle


@pytest.fixture(scope="session")
def chromium_is_there() -> None:
    if Path(EXECUTABLE).exists():
        return
    needed = "no Chromium: apt-get install chromium fonts-liberation"
    if os.environ.get("CI") == "true":
        pytest.fail(needed)
    pytest.skip(needed)  # a bare machine may run all else; CI may not do without it


@pytest.fixture(scope="session")
def built_app(chromium_is_there: None) -> None:
    """Build the app, unless what is there was built from these very sources."""
    is_installed = (ROOT / "client" / "node_modules" / "vite").is_dir()
    with alone(ROOT / "client"):
        hatch_build.bring_up_to_date(ROOT, install=not is_installed)


@pytest.fixture(scope="session")
def playwright(built_app: None) -> Iterator[Playwright]:
    # What is looked for comes in its time: only a screen on which it never does may fail a test.
    expect.set_options(timeout=30_000)
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Film:
    """What the fake camera sees."""
    return Film(tmp_path_factory.mktemp("film") / "film.mjpeg")


@pytest.fixture(scope="session")
def browser(playwright: Playwright, film: Film) -> Iterator[Browser]:
    """A browser for desks, and for phones that need not survive it: a context is a device."""
    running = launched(playwright, f"--use-file-for-fake-video-capture={film.path}")
    yield running
    running.close()


@pytest.fixture(scope="session")
def whole_browser(playwright: Playwright, film: Film) -> Iterator[Browser]:
    """One that can refuse a page something, and wakes its worker (see `LEAN`)."""
    film_of_it = f"--use-file-for-fake-video-capture={film.path}"
    running = launched(playwright, film_of_it, build=WHOLE)
    yield running
    running.close()


@contextmanager
def serving_five_steps(folder: Path) -> Iterator[ServedWorkshop]:
    workshop = ServedWorkshop(folder)
    # By the store: the command line would ask it for reasons that a tiny procedure has not.
    publish(Store(workshop.data), tiny_bundle(), datetime.now(UTC))
    workshop.start()
    try:
        yield workshop
    finally:  # the phone that works there may fail: its server must not go on
        workshop.kill()


@pytest.fixture(scope="module")
def tiny_workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedWorkshop]:
    """
    A workshop that serves, with a procedure of five steps. A module's tests leave their jobs there,
    never another's: which modules meet in one process differs from run to run.
    """
    with serving_five_steps(tmp_path_factory.mktemp("workshop")) as workshop:
        yield workshop


@dataclass
class DoneJob:
    """A job of the tiny procedure, closed on a phone with a line; its photo is in the workshop."""

    workshop: ServedWorkshop
    mechanic: Mechanic
    job: str


@pytest.fixture(scope="module")
def done_job(
    browser: Browser, film: Film, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[DoneJob]:
    """In a workshop of its own: there is no other job there."""
    with serving_five_steps(tmp_path_factory.mktemp("done")) as workshop:
        phone = browser.new_context(**PHONE)
        page = phone.new_page()
        page.clock.install()
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        page.get_by_role("button", name="Open a job").click()
        mechanic = Mechanic(page, film=film)
        end = mechanic.work(until=lambda screen: screen.title == "Closed: Finished")
        comes_to(page)
        yield DoneJob(workshop, mechanic, end.address.split("/")[3])
        phone.close()
