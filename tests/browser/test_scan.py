"""
The camera reads a code through the app's own decoder: real pixels, the built app, its policy.

The code is drawn by an encoder that has nothing to do with our decoder (ppf.datamatrix).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from ppf.datamatrix import DataMatrix

from browser.app import enrol, joined, violations
from browser.chromium import PHONE, WHOLE, camera_film, profile
from browser.film import Film
from browser.mechanic import Mechanic, comes_to, hold
from browser.serving import ServedWorkshop
from tiny_procedure import TINY_SOURCE
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import parse
from twoturns.store import Store
from twoturns.store.bundles import publish
from twoturns.trade.gs1 import read_label
from workshop import tiny_bundle

pytestmark = pytest.mark.browser
VIN = "ZZ9DEMA24HB000123"


def on_a_plate(text: str, turned_deg: float) -> Image.Image:
    """A code as a camera sees it: a little turned, on grey metal, not quite sharp."""
    cells = np.pad(np.array(DataMatrix(text).matrix), 3)
    code = Image.fromarray(np.where(cells > 0, 20, 225).astype("uint8"))
    code = code.resize((code.width * 9, code.height * 9), Image.Resampling.NEAREST)
    plate = Image.new("L", (960, 540), 150)
    plate.paste(code, ((960 - code.width) // 2, (540 - code.height) // 2))
    turned = plate.rotate(turned_deg, Image.Resampling.BILINEAR, fillcolor=150)
    return turned.resize((800, 450), Image.Resampling.BOX).resize((960, 540)).convert("RGB")


def test_a_vehicle_number_is_read_off_the_plate(playwright, tiny_workshop, tmp_path):
    film = camera_film([on_a_plate(f"I{VIN}", 11)], tmp_path / "plate.mjpeg")
    with profile(playwright, tmp_path / "phone", film=film, **PHONE) as context:
        page = context.pages[0]
        seen = violations(page)
        enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
        page.get_by_role("button", name="Open a job").click()
        expect(page.get_by_role("heading", name="The VIN, as it is stamped")).to_be_visible()
        expect(page.get_by_role("textbox")).to_have_value(VIN)
        expect(page.get_by_role("button", name="VIN is right")).to_be_visible()
        assert seen == []


def test_without_a_camera_the_number_is_typed(playwright, tiny_workshop, tmp_path):
    refused = {**PHONE, "permissions": []}
    with profile(playwright, tmp_path / "phone", build=WHOLE, **refused) as context:
        page = context.pages[0]
        enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Bo Sluice"))
        page.get_by_role("button", name="Open a job").click()
        expect(page.get_by_role("alert")).to_contain_text("Type what is printed instead.")
        page.get_by_role("button", name="Type it").click()
        page.get_by_role("textbox").fill(VIN)
        expect(page.get_by_role("button", name="VIN is right")).to_be_visible()


FIRST = "    says: [Push the pin in by hand.]\n    does: [lock=in]\n    tools_out: [l1]\n"
SOURCE = TINY_SOURCE.replace(
    FIRST,
    "    says: [Read the label.]\n    does: [lock=in]\n"
    "    proof:\n      - {name: belt_lot, kind: scan, label: lot of the belt, part: belt}\n",
).replace("drive:\n", "kit:\n  belt: {label: timing belt, count: 1}\n\ndrive:\n")
for tools in ("    tools_in: [l1]\n", "    undo: yes\n    tools_out: [l1]\n"):
    SOURCE = SOURCE.replace(tools, "    undo: yes\n" if "undo" in tools else "")


def label(lot: str, until: str) -> str:
    """A GS1 element string: item, expiry, lot, serial. The item is one that GS1 prints."""
    return f"010950600013435217{until}10{lot}\x1d21SER-42"


@pytest.fixture
def at_the_label(browser: Browser, film: Film, workshop: ServedWorkshop) -> Iterator[Page]:
    """A phone whose next proof is the lot of a part; lot K4-0099 is recalled."""
    publish(Store(workshop.data), tiny_bundle(source=SOURCE), datetime.now(UTC))
    workshop.state("lot.recalled", {"lot": "K4-0099", "because": "Teeth shear."})
    with joined(browser, PHONE, workshop, "mechanic", "Ada Weir", has_clock=True) as page:
        page.get_by_role("button", name="Open a job").click()
        Mechanic(page, film=film).work(until=lambda screen: screen.step == "1")
        yield page


def point_at(page: Page, film: Film, text: str, key: str) -> None:
    film.show(on_a_plate(text, -8))
    page.get_by_role("button", name=key).click()


def test_a_parts_label_is_seen_before_it_is_kept_and_a_bad_part_is_refused(
    at_the_label, film, workshop
):
    page = at_the_label
    alert, main = page.get_by_role("alert"), page.locator(".deck .key-main")
    point_at(page, film, label("K4-0077", "240101"), "lot of the belt")
    expect(alert).to_contain_text("This part was good until 2024-01-01.")
    expect(main).to_have_attribute("aria-disabled", "true")
    point_at(page, film, label("K4-0099", "480101"), "again")
    expect(alert).to_contain_text("Lot K4-0099 is recalled. Teeth shear.")
    expect(main).to_have_attribute("aria-disabled", "true")
    point_at(page, film, label("K4-0077", "480101"), "again")
    expect(main).to_contain_text("K4-0077")
    expect(page.get_by_text("SER-42")).to_be_visible()
    hold(page, main)
    expect(page.get_by_role("heading", name="Belt off")).to_be_visible()
    comes_to(page)
    fitted = [one for one in entries(workshop) if one.kind == "part.fitted"]
    assert [one.body["lot"] for one in fitted] == ["K4-0077"]
    assert fitted[0].body["serial"] == "SER-42"
    assert read_label(fitted[0].body["code"]).lot == "K4-0077"


def entries(workshop: ServedWorkshop) -> list[Entry]:
    page = Store(workshop.data).pages.page(0, limit=500)
    return [parse(record).entry for _, record in page.records]
