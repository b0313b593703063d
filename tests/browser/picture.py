"""
Take the pictures of the README anew, out of the running app. By hand, when a screen has changed:

    PYTHONPATH=tests:server python -m browser.picture
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, Playwright, expect, sync_playwright

import hatch_build
from browser.app import enrol
from browser.chromium import PHONE, launched
from browser.film import Film
from browser.mechanic import Mechanic, Screen
from browser.serving import ROOT, ServedWorkshop
from browser.test_pluck_screen import PATIENCE_MS, SOURCE, begin, plucks
from pluck_belts import wav_of
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle

PICTURES = Path(__file__).parent / "pictures"


def pointer_is_to_be_set(screen: Screen) -> bool:
    """The hex key is off the board, the pointer not yet set."""
    return screen.title == "Set the pointer on the notch" and "board" not in screen.key


@contextmanager
def open_job(
    playwright: Playwright, folder: Path, what: str, prepare: Callable[[ServedWorkshop], None]
) -> Iterator[Page]:
    """A phone on which a job is about to be opened; `what` is a flag of the browser's."""
    browser = launched(playwright, what)
    folder.mkdir()
    workshop = ServedWorkshop(folder)
    prepare(workshop)
    workshop.start()
    try:
        granted = {**PHONE, "permissions": ["camera", "microphone"]}
        page = browser.new_context(**granted).new_page()
        page.clock.install()
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        page.get_by_role("button", name="Open a job").click()
        yield page
    finally:
        workshop.kill()
        browser.close()


def van(workshop: ServedWorkshop) -> None:
    workshop.register_tools()
    workshop.publish("van-timing-drive")


def note(workshop: ServedWorkshop) -> None:
    publish(Store(workshop.data), tiny_bundle(source=SOURCE), datetime.now(UTC))


def take_step(playwright: Playwright, folder: Path) -> None:
    film = Film(folder / "film.mjpeg")
    flag = f"--use-file-for-fake-video-capture={film.path}"
    with open_job(playwright, folder / "van", flag, van) as page:
        Mechanic(page, film=film).work(until=pointer_is_to_be_set)
        expect(page.locator(".head-place")).to_have_text("in the workshop")
        page.screenshot(path=PICTURES / "step.png")


def take_note(playwright: Playwright, folder: Path) -> None:
    sound = folder / "belt.wav"
    sound.write_bytes(wav_of(plucks()))
    flag = f"--use-file-for-fake-audio-capture={sound}%noloop"
    with open_job(playwright, folder / "note", flag, note) as page:
        Mechanic(page).work(until=lambda screen: screen.step == "1")
        begin(page, "Set note")
        expect(page.get_by_text("In range", exact=True)).to_be_visible(timeout=PATIENCE_MS)
        page.screenshot(path=PICTURES / "note.png")


def main() -> None:
    hatch_build.bring_up_to_date(ROOT, install=False)
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        take_step(playwright, Path(folder))
        take_note(playwright, Path(folder))


if __name__ == "__main__":
    main()
