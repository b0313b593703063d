"""
Take the picture of the README anew, out of the running app. By hand, when the screen has changed:

    PYTHONPATH=tests:server python -m browser.picture
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

import hatch_build
from browser.app import enrol
from browser.chromium import ARGUMENTS, EXECUTABLE, PHONE
from browser.film import Film
from browser.mechanic import Mechanic, Screen
from browser.serving import ROOT, ServedWorkshop

PICTURE = Path(__file__).parent / "pictures" / "step.png"


def pointer_is_to_be_set(screen: Screen) -> bool:
    """The hex key is off the board, the pointer not yet set."""
    return screen.title == "Set the pointer on the notch" and "board" not in screen.key


def main() -> None:
    hatch_build.bring_up_to_date(ROOT, install=False)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        film = Film(Path(folder) / "film.mjpeg")
        arguments = [*ARGUMENTS, f"--use-file-for-fake-video-capture={film.path}"]
        browser = playwright.chromium.launch(executable_path=EXECUTABLE, args=arguments)
        workshop = ServedWorkshop(Path(folder))
        workshop.register_tools()
        workshop.publish(ROOT / "demo_jobs" / "van-timing-drive")
        workshop.start()
        try:
            page = browser.new_context(**PHONE).new_page()
            page.clock.install()
            enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
            page.get_by_role("button", name="Open a job").click()
            Mechanic(page, film=film).work(until=pointer_is_to_be_set)
            expect(page.locator(".head-place")).to_have_text("in the workshop")
            PICTURE.parent.mkdir(exist_ok=True)
            page.screenshot(path=PICTURE)
        finally:
            workshop.kill()
            browser.close()


if __name__ == "__main__":
    main()
