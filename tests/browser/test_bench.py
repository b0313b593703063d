"""An owner writes a procedure at the bench: brought in, broken, mended, proved, published."""

from __future__ import annotations

import io
import zipfile

import pytest
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import DESK
from demo_procedures import ROADSIDE, text_of
from photos import photo

pytestmark = [pytest.mark.browser, pytest.mark.slow(20)]

SOURCE = text_of(ROADSIDE)


#: A browser cuts off a timer's parts of a millisecond, so that it comes too soon; these always do.
EARLY = """(() => {
  const timer = window.setTimeout
  window.setTimeout = (then, ms = 0, ...rest) => timer(then, Math.max(0, ms - 5), ...rest)
})()"""


def broken(source: str) -> str:
    """Return a source whose way back to a safe car is gone: from some states nothing leads on."""
    before, _, rest = source.partition("  - id: secure_again\n")
    return before + rest[rest.index("  - id: ") :]


def folder(source: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mine/procedure.yaml", source)
    return out.getvalue()


def test_a_procedure_is_written_at_the_bench_and_published(browser, workshop):
    context = browser.new_context(**DESK)
    context.add_init_script(EARLY)
    page = context.new_page()
    seen = violations(page)
    enrol(page, workshop.address, workshop.invite("owner", "Bela Weir"))
    page.get_by_role("link", name="Procedures").click()
    page.get_by_role("button", name="Write a procedure").click()
    page.get_by_label("Name of the draft").fill("mine")
    file = {"name": "mine.zip", "mimeType": "application/zip", "buffer": folder(broken(SOURCE))}
    page.get_by_label("Or from a ZIP file of its folder").set_input_files(file)
    page.get_by_role("button", name="Begin").click()

    # A finding stands at its line, and its way there is played on the drive.
    expect(page.get_by_text("The check found")).to_be_visible()
    page.get_by_role("button", name="Play the").first.click()
    way = page.get_by_role("region", name="The shortest way there")
    expect(way.get_by_role("img")).to_be_visible()
    way.get_by_role("button", name="Before it").click()
    expect(way.get_by_role("status")).to_contain_text("After")
    way.get_by_role("button", name="The phone again").click()
    page.get_by_role("button", name="Line").first.click()

    # Mended in the editor; the phone's screen beside it follows the cursor.
    editor = page.get_by_role("textbox", name="Source of the procedure")
    expect(editor).to_be_focused()  # by the line that was asked for: it comes with the next drawing
    editor.press("Control+a")
    page.keyboard.insert_text(SOURCE)
    expect(page.get_by_text("Proved:")).to_be_visible()
    page.get_by_role("button", name="Form").click()
    page.get_by_label("Which step").select_option(label="22 Arm back, 5 mm pin in")
    title = page.get_by_label("Title")
    title.fill("Arm back, pin in")
    title.press("Enter")
    screen = page.locator(".bench-screen")
    expect(screen.get_by_text("Arm back, pin in")).to_be_visible()

    # A picture at the step: cut out with a finger, and shown beside it as on the phone.
    page.get_by_role("button", name="Pictures").click()
    shot = {"name": "Arm 1.jpeg", "mimeType": "image/jpeg", "buffer": photo()}
    page.get_by_label("Put a picture in").set_input_files(shot)
    expect(page.get_by_role("figure", name="arm-1.jpg")).to_be_visible()
    page.get_by_role("button", name="Form").click()
    page.get_by_label("Which picture").select_option("arm-1.jpg")
    whole = page.locator(".bench-marking")
    whole.hover(position={"x": 20, "y": 20})
    page.mouse.down()
    whole.hover(position={"x": 120, "y": 90})
    page.mouse.up()
    expect(page.get_by_label("Width shown")).to_have_value("33")  # 100 of 300: it is turned upright
    expect(screen.get_by_role("img", name="A picture of the step")).to_be_visible()
    expect(page.get_by_text("Proved:")).to_be_visible()

    page.get_by_role("button", name="Publish").click()
    expect(page.get_by_text("Edition 1 would be the first")).to_be_visible()
    page.get_by_role("button", name="Hand it in").click()
    page.get_by_role("link", name="To the page Procedures").click()
    page.get_by_role("button", name="Publish it").hover()
    page.mouse.down()  # it is held to its end by the clock: no finger that goes up tells it
    expect(page.get_by_role("button", name="Withdraw")).to_be_visible()
    page.mouse.up()
    context.close()
    assert seen == []


def test_a_drive_that_was_measured_begins_a_draft_once_its_fields_are_filled(browser, workshop):
    context = browser.new_context(**DESK)
    page = context.new_page()
    enrol(page, workshop.address, workshop.invite("owner", "Bela Weir"))
    page.get_by_role("link", name="Procedures").click()
    page.get_by_role("button", name="Write a procedure").click()
    page.get_by_label("Name of the draft").fill("stand-drive")
    page.get_by_label("It begins as").select_option(label="an engine that was measured")
    page.get_by_role("button", name="Begin").click()
    for name in ("Code of the engine", "Teeth of the belt", "Wheels, a line each"):
        expect(page.get_by_label(name)).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_label("Code of the engine")).to_be_focused()

    page.get_by_label("Code of the engine").fill("QV-2.0")
    page.get_by_label("Teeth of the belt").fill("96x8")
    wheels = "crank:0,0:20t\ntensioner:-34,130:60mm:throw8\ncam:10,260:40t"
    page.get_by_label("Wheels, a line each").fill(wheels)
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("textbox", name="Source of the procedure")).to_contain_text("QV-2.0")
    context.close()
