"""
Take the pictures of the README anew, out of the running app. By hand, when a screen has changed:

    PYTHONPATH=tests:server python -m browser.picture
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

import hatch_build
from browser.app import enrol
from browser.caller import to_advice, to_verdict
from browser.chromium import DESK, PHONE, launched
from browser.film import Film
from browser.mechanic import Mechanic, Screen
from browser.serving import ROOT, ServedWorkshop
from browser.test_doors import come_in, demo
from browser.test_pluck_screen import PATIENCE_MS, SOURCE, begin, plucks
from demo_procedures import ROADSIDE, text_of
from pluck_belts import wav_of
from twoturns.cli.parts import new_person
from twoturns.demo.workshop import open_demo
from twoturns.store import Store
from twoturns.store.bundles import publish
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW
from workshop import tiny_bundle

PICTURES = Path(__file__).parent / "pictures"


def pointer_is_to_be_set(screen: Screen) -> bool:
    return screen.title == "Set the pointer on the notch"


@contextmanager
def served(playwright: Playwright, workshop: ServedWorkshop, *flags: str) -> Iterator[Browser]:
    """A browser beside a workshop that is served, as it was made ready."""
    browser = launched(playwright, *flags)
    workshop.start()
    try:
        yield browser
    finally:
        workshop.kill()
        browser.close()


@contextmanager
def open_job(
    playwright: Playwright, folder: Path, what: str, prepare: Callable[[ServedWorkshop], None]
) -> Iterator[Page]:
    """A phone on which a job is about to be opened; `what` is a flag of the browser's."""
    folder.mkdir()
    workshop = ServedWorkshop(folder)
    prepare(workshop)
    with served(playwright, workshop, what) as browser:
        granted = {**PHONE, "permissions": ["camera", "microphone"]}
        page = browser.new_context(**granted).new_page()
        page.clock.install()
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        page.get_by_role("button", name="Open a job").click()
        yield page


def origin_of(page: Page) -> str:
    return str(page.evaluate("location.origin"))


@contextmanager
def served_demo(
    playwright: Playwright, folder: Path, owner: str, like: dict[str, Any] = DESK
) -> Iterator[tuple[Page, str]]:
    """A page of an owner's in the demo's workshop, and its job of the tour."""
    folder.mkdir()
    store = open_demo(folder / "data", datetime.now(UTC), new_person)
    (job,) = (row["job"] for row in store.views.find("plate", "TBR 0412"))
    workshop = ServedWorkshop(folder)
    with served(playwright, workshop) as browser:
        page = browser.new_context(**like).new_page()
        enrol(page, workshop.address, workshop.invite("owner", owner))
        yield page, job


def van(workshop: ServedWorkshop) -> None:
    workshop.register_tools()
    workshop.publish("van-timing-drive")


def note(workshop: ServedWorkshop) -> None:
    publish(Store(workshop.data), tiny_bundle(source=SOURCE), datetime.now(UTC))


def take_call(playwright: Playwright, folder: Path) -> None:
    """A call: what the caller is told first, whether the belt is due, and the call as it stands."""
    (folder / "call").mkdir()
    workshop = ServedWorkshop(folder / "call")
    workshop.publish("van-timing-drive")
    with served(playwright, workshop) as browser:
        page = browser.new_context(**PHONE).new_page()
        page.clock.install()
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
        to_advice(page)
        shots = [page.screenshot()]
        to_verdict(page, fitted="5.2019", at="12000")
        shots.append(page.screenshot())
        page.locator(".key-main").click()
        expect(page.get_by_text("not known", exact=False).last).to_be_visible()
        shots.append(page.screenshot())
        _in_a_row(shots).save(PICTURES / "call.png", optimize=True)


def _in_a_row(shots: list[bytes]) -> Image.Image:
    """Screens of a phone side by side, at the size of one in hand."""
    width, height = PHONE["viewport"]["width"], PHONE["viewport"]["height"]
    size = (len(shots) * (width + APART_PX) - APART_PX, height)
    found = Image.new("RGB", size, (255, 255, 255))
    for at, one in enumerate(shots):
        screen = Image.open(io.BytesIO(one)).convert("RGB").resize((width, height))
        found.paste(screen, (at * (width + APART_PX), 0))
    return found


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


def take_bench(playwright: Playwright, folder: Path) -> None:
    """The bench with a procedure whose way back is missing, its finding played on the drive."""
    (folder / "bench").mkdir()
    workshop = ServedWorkshop(folder / "bench")
    before, _, rest = text_of(ROADSIDE).partition("  - id: secure_again\n")
    source = before + rest[rest.index("  - id: ") :]
    Store(workshop.data).drafts.put("latch", Draft(source), NEW)
    with served(playwright, workshop) as browser:
        page = browser.new_context(**DESK).new_page()
        enrol(page, workshop.address, workshop.invite("owner", "Bela Weir"))
        page.goto(f"{workshop.address}/#/desk/procedures/latch")
        page.get_by_role("button", name="Line").first.click()
        page.get_by_role("button", name="Play the").first.click()
        expect(page.get_by_role("region", name="The shortest way there")).to_be_visible()
        page.screenshot(path=PICTURES / "bench.png")


# A4 and a common label at 96 px an inch, and the margin that `paper.css` gives a page.
A4_PX, MARGIN_PX, APART_PX = (794, 1123), 53, 28


def take_papers(playwright: Playwright, folder: Path) -> None:
    """What leaves with the vehicle, as it is printed: a sheet's first page, and the sticker."""
    text_px = {"width": A4_PX[0] - 2 * MARGIN_PX, "height": A4_PX[1]}
    sheet = {"viewport": text_px}
    with served_demo(playwright, folder / "papers", "Bela Weir", sheet) as (page, job):
        shots = {}
        for paper in ("sheet", "sticker"):
            page.goto(f"{origin_of(page)}/#/paper/{job}/{paper}")
            page.get_by_text("Next change").first.wait_for()
            if paper == "sheet":
                page.get_by_role("button", name="Make the code").click()
                page.locator(".paper-code").wait_for()
            page.emulate_media(media="print")
            page.evaluate("document.body.style.margin = '0'")
            shots[paper] = page.locator("article.paper").screenshot()
            page.emulate_media(media="null")
        _beside(*shots.values()).save(PICTURES / "papers.png", optimize=True)


def take_figures(playwright: Playwright, folder: Path) -> None:
    """What the demo's closed jobs tell the owner: drawn, with the table behind."""
    with served_demo(playwright, folder / "figures", "Odile Fenn") as (page, _):
        page.goto(f"{origin_of(page)}/#/desk/figures")
        expect(page.get_by_role("heading", level=1)).to_contain_text("jobs that were closed")
        page.screenshot(path=PICTURES / "figures.png")


def take_doors(playwright: Playwright, folder: Path) -> None:
    """The demo's page: three doors, and where its look round begins; behind one, the desk."""
    browser = launched(playwright)
    (folder / "doors").mkdir()
    with demo(folder / "doors") as address:
        try:
            page = browser.new_context(**DESK).new_page()
            page.goto(address)
            page.screenshot(path=PICTURES / "doors.png")
            desk = come_in(page, "owner")
            desk.get_by_role("button", name="Follow it up").wait_for()
            desk.screenshot(path=PICTURES / "eyes.png")
        finally:
            browser.close()


def take_photo(playwright: Playwright, folder: Path) -> None:
    """A photo of the demo's as evidence: what is known of it beside it."""
    with served_demo(playwright, folder / "photo", "Odile Fenn") as (page, job):
        page.goto(f"{origin_of(page)}/#/desk/photos/{job}")
        page.locator(".contact-cell", has_text="17: ").first.get_by_role("button").click()
        expect(page.get_by_text("by the workshop’s clock")).to_be_visible()
        page.locator(".photo-stage img").wait_for()
        shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        # A photo's noise in all its colours would be half a megabyte.
        shot.quantize(128).save(PICTURES / "photo.png", optimize=True)


def _beside(sheet: bytes, sticker: bytes) -> Image.Image:
    """The head of a sheet, as a page has it, with a sticker beside it."""
    printed, label = (Image.open(io.BytesIO(one)).convert("RGB") for one in (sheet, sticker))
    width = A4_PX[0] + 3 * APART_PX + label.width
    found = Image.new("RGB", (width, A4_PX[1] + 2 * APART_PX), (205, 215, 208))
    found.paste((255, 255, 255), (APART_PX, APART_PX, APART_PX + A4_PX[0], APART_PX + A4_PX[1]))
    inside = printed.crop((0, 0, printed.width, min(printed.height, A4_PX[1] - 2 * MARGIN_PX)))
    found.paste(inside, (APART_PX + MARGIN_PX, APART_PX + MARGIN_PX))
    found.paste(label, (2 * APART_PX + A4_PX[0], APART_PX))
    return found


def main() -> None:
    hatch_build.bring_up_to_date(ROOT, install=False)
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        take_call(playwright, Path(folder))
        take_step(playwright, Path(folder))
        take_note(playwright, Path(folder))
        take_bench(playwright, Path(folder))
        take_papers(playwright, Path(folder))
        take_doors(playwright, Path(folder))
        take_figures(playwright, Path(folder))
        take_photo(playwright, Path(folder))


if __name__ == "__main__":
    main()
