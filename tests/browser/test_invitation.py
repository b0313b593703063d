"""A phone joins by its camera: a code that the command line or the desk draws lets it in."""

from __future__ import annotations

import io

import pytest
import segno
from PIL import Image
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import DESK, PHONE, camera_film, profile

pytestmark = pytest.mark.browser


def on_a_screen(code: Image.Image) -> Image.Image:
    """A code as a camera sees it on a screen: a little turned, not quite sharp."""
    shown = Image.new("RGB", (960, 720), (70, 74, 80))
    shown.paste(code, ((960 - code.width) // 2, (720 - code.height) // 2))
    turned = shown.rotate(4, Image.Resampling.BILINEAR, fillcolor=(70, 74, 80))
    return turned.resize((900, 675), Image.Resampling.BOX).resize((960, 720))


def drawn(link: str) -> Image.Image:
    picture = io.BytesIO()
    segno.make_qr(link, error="L", boost_error=False).save(picture, kind="png", scale=7, border=4)
    return Image.open(picture).convert("RGB")


def joins(playwright, folder, address: str, code: Image.Image) -> None:
    """Scan a code on a new phone, and join."""
    film = camera_film([on_a_screen(code)], folder / "code.mjpeg")
    with profile(playwright, folder / "phone", film=film, **PHONE) as context:
        page = context.pages[0]
        seen = violations(page)
        page.goto(address)
        page.get_by_role("button", name="Scan the code").click()
        expect(page.get_by_role("heading", name="Scan the invitation")).to_be_visible()
        expect(page.get_by_role("heading", name="Compare with the paper")).to_be_visible(
            timeout=30_000
        )
        page.get_by_role("button", name="It is the same: join this workshop").click()
        expect(page.get_by_role("heading", name="No open job")).to_be_visible()
        assert seen == []


def test_the_code_of_the_command_line_lets_a_phone_in(playwright, tiny_workshop, tmp_path):
    link = tiny_workshop.invite("mechanic", "Cy Leat")
    joins(playwright, tmp_path, tiny_workshop.address, drawn(link))


def test_the_code_on_the_desk_lets_a_phone_in(playwright, browser, tiny_workshop, tmp_path):
    desk = browser.new_context(**DESK)
    page = desk.new_page()
    enrol(page, tiny_workshop.address, tiny_workshop.invite("owner", "Bela Weir"))
    page.evaluate("() => { location.hash = '#/desk/people' }")
    page.get_by_label("Name").fill("Di Penstock")
    page.get_by_role("button", name="Make the invitation").click()
    code = page.get_by_role("img", name="The link as a code to be scanned")
    expect(code).to_be_visible()
    # The desk is shown twice as large as it is: a phone is held close to it.
    seen = Image.open(io.BytesIO(code.screenshot())).convert("RGB")
    joins(
        playwright,
        tmp_path,
        tiny_workshop.address,
        seen.resize((680, 680), Image.Resampling.NEAREST),
    )
    desk.close()


def test_another_code_is_no_invitation(playwright, tiny_workshop, tmp_path):
    film = camera_film([on_a_screen(drawn("KN-4471"))], tmp_path / "code.mjpeg")
    with profile(playwright, tmp_path / "phone", film=film, **PHONE) as context:
        page = context.pages[0]
        page.goto(tiny_workshop.address)
        page.get_by_role("button", name="Scan the code").click()
        expect(page.get_by_role("alert")).to_be_visible(timeout=30_000)
        expect(page.get_by_role("heading", name="Open the invitation")).to_be_visible()
