"""
The camera reads a code through the app's own decoder: real pixels, the built app, its policy.

The code is drawn by an encoder that has nothing to do with our decoder (ppf.datamatrix).
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect
from ppf.datamatrix import DataMatrix

from browser.app import enrol, violations
from browser.chromium import PHONE, camera_film, profile

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
        expect(page.get_by_role("textbox")).to_have_value(VIN, timeout=20_000)
        expect(page.get_by_role("button", name="VIN is right")).to_be_visible()
        assert seen == []


def test_without_a_camera_the_number_is_typed(playwright, tiny_workshop, tmp_path):
    refused = {**PHONE, "permissions": []}
    with profile(playwright, tmp_path / "phone", **refused) as context:
        page = context.pages[0]
        enrol(page, tiny_workshop.address, tiny_workshop.invite("mechanic", "Bo Sluice"))
        page.get_by_role("button", name="Open a job").click()
        expect(page.get_by_role("alert")).to_contain_text("Type what is printed instead.")
        page.get_by_role("button", name="Type it").click()
        page.get_by_role("textbox").fill(VIN)
        expect(page.get_by_role("button", name="VIN is right")).to_be_visible()
