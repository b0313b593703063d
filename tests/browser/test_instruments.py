"""
Marks, turn and sharpness on a phone: real pictures, real motion events, and the way to the bag.

The wheel is drawn by tests/pinhole.py, so that what is tapped is known; the rates are those of a
turn that is known. What the phone keeps is computed anew from the bag alone.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter
from playwright.sync_api import Browser, Page, expect

from browser.app import enrol, violations
from browser.chromium import PHONE
from browser.film import Film
from browser.mechanic import Mechanic, box_of, comes_to
from browser.serving import ServedWorkshop
from browser.test_screens import AXE, faults_of, is_clean
from pinhole import HEIGHT, PITCH_RADIUS_MM, WIDTH, Scene, Wheel, pixels
from tiny_procedure import TINY_SOURCE
from twoturns.bag.verify import Verdict, verify
from twoturns.store import Store
from twoturns.store.bundles import publish
from twoturns.words.en.bag.sentences import ANEW
from workshop import tiny_bundle

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

PROOFS = """\
    proof:
      - {name: cam_mark, kind: reading, label: cam mark, unit: teeth, low: -0.25, high: 0.25,
         by: [marks, hand], wheel: cam}
      - {name: turned, kind: reading, label: two turns by hand, unit: turns, low: 1.9, high: 2.1,
         by: [turn, hand]}
      - {name: bolt, kind: reading, label: bolt turned on, unit: °, low: 88, high: 92,
         by: [turn]}
      - {name: drive, kind: photo, label: the drive}
    fails:
      - {id: mark_out, says: The mark is a tooth out., then: Set it anew., leaves: {lock: out}}
"""
PUSHED = "    says: [Push the pin in by hand.]\n    does: [lock=in]\n    tools_out: [l1]\n"
SOURCE = TINY_SOURCE.replace(PUSHED, PUSHED.replace("    tools_out: [l1]\n", "") + PROOFS)

SENSORS = ("camera", "accelerometer", "gyroscope")
SHRUNK = 0.4
SEED = 5
# A gyro at rest, and `turns` to send a turn at once. Each sample is 16 ms after the one before it,
# however busy this machine is; gamma is the rate about the screen's axis, degrees per second.
# The step that asks for one reading after another.
STEP = "Pin in"
STEP_S = 0.016
GYRO = """() => {
  let at = performance.now()
  const send = (gamma) => {
    const rotationRate = { alpha: 0.1, beta: -0.2, gamma }
    const sample = new DeviceMotionEvent('devicemotion', { rotationRate })
    Object.defineProperty(sample, 'timeStamp', { value: (at += 16) })
    dispatchEvent(sample)
  }
  window.turns = (rate, samples) => { for (let n = 0; n < samples; n++) send(rate) }
  setInterval(() => send(0), 250)
}"""


def wheel(apart: float) -> tuple[Image.Image, dict[str, np.ndarray]]:
    """A toothed wheel on a rough plate, its mark that many teeth from its pointer."""
    scene = Scene(teeth=48, span=10, apart=apart, tilt_deg=5, off_axis_deg=4)
    seen = Wheel(scene, np.random.default_rng(SEED))
    truth = pixels(scene, np.random.default_rng(SEED))
    grain = np.random.default_rng(1).integers(70, 120, (HEIGHT // 10, WIDTH // 10, 1), "uint8")
    picture = Image.fromarray(np.repeat(grain, 3, axis=2))
    picture = picture.resize((round(WIDTH * SHRUNK), round(HEIGHT * SHRUNK)), Image.Resampling.BOX)
    draw = ImageDraw.Draw(picture)

    def spot(angle: float, share: float) -> tuple[float, float]:
        x, y = seen.at(angle, share * PITCH_RADIUS_MM) * SHRUNK
        return (float(x), float(y))

    pitch = 2 * np.pi / scene.teeth
    edge = [(-0.3, 0.93), (-0.2, 1.0), (0.2, 1.0), (0.3, 0.93)]
    rim = [spot((k + at) * pitch, share) for k in range(scene.teeth) for at, share in edge]
    draw.polygon(rim, fill=(178, 182, 186), outline=(20, 20, 20))
    draw.polygon([spot(at * pitch, 0.2) for at in range(scene.teeth)], fill=(40, 42, 44))
    for name, colour in (("mark", (250, 250, 250)), ("pointer", (230, 60, 40))):
        x, y = truth[name] * SHRUNK
        draw.ellipse((x - 4, y - 4, x + 4, y + 4), fill=colour, outline=(0, 0, 0))
    return picture, truth


@pytest.fixture(scope="module")
def measuring(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedWorkshop]:
    """A workshop whose procedure asks for readings by instruments, before its first step."""
    served = ServedWorkshop(tmp_path_factory.mktemp("measuring"))
    publish(Store(served.data), tiny_bundle(source=SOURCE), datetime.now(UTC))
    served.start()
    yield served
    served.kill()


@pytest.fixture
def opened(
    browser: Browser, film: Film, measuring: ServedWorkshop
) -> Iterator[Callable[..., Mechanic]]:
    """A mechanic before that step, with the permissions that the phone was given."""
    contexts, faults = [], []

    def before_the_step(*permissions: str, on: Browser = browser) -> Mechanic:
        contexts.append(on.new_context(**{**PHONE, "permissions": list(permissions)}))
        page = contexts[-1].new_page()
        page.add_init_script(AXE.read_text())
        page.clock.install()
        faults.append(violations(page))
        enrol(page, measuring.address, measuring.invite("mechanic", "Ada Weir"))
        press(page, "Open a job")
        mechanic = Mechanic(page, film=film)
        mechanic.work(until=lambda screen: screen.step == "1")
        return mechanic

    yield before_the_step
    for context in contexts:
        context.close()
    assert not any(faults)


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).click()


def reads_well(page: Page) -> None:
    """In each light, at the narrowest, for a thumb in a glove."""
    title = page.get_by_role("heading", level=1).inner_text()
    is_clean({title: faults_of(page)})


def next_proof(page: Page, title: str) -> None:
    """See a proof's screen: the step's key opens the first, and each leads on to the next."""
    heading = page.get_by_role("heading", level=1)
    if heading.inner_text() == STEP:
        page.locator(".deck .key-main").click()
    expect(heading).to_have_text(title)


def take_photo(page: Page) -> None:
    """Take one, and let go of the camera: it opens anew for the next."""
    expect(page.get_by_role("button", name="Take the photo")).to_be_visible()
    page.evaluate("window.stream = document.querySelector('video').srcObject")
    press(page, "Take the photo")
    expect(page.locator("video")).to_have_count(0)
    page.evaluate("window.stream.getTracks().forEach((track) => track.stop())")


PHOTO_ON_BOARD = """(board) => {
  const [photo, box] = [board.querySelector('img'), board].map((each) =>
    each.getBoundingClientRect())
  return [photo.x - box.x, photo.y - box.y, photo.width, photo.height]
}"""


class Taps:
    """A hand that taps places of the drawn wheel, wherever the photo lies on the screen."""

    def __init__(self, page: Page, truth: dict[str, np.ndarray]) -> None:
        self.page, self.truth = page, truth
        self.board = page.locator(".tapboard")

    def at(self, name: str) -> tuple[float, float]:
        """Where a place is now, in pixels of the board."""
        left, top, *size = self.board.evaluate(PHOTO_ON_BOARD)
        x, y = self.truth[name] / (WIDTH, HEIGHT) * size
        return (left + x, top + y)

    def tap(self, name: str) -> None:
        """Tap it; where it is off the board, tap towards it until it is there."""
        box = box_of(self.board)
        x, y = self.at(name)
        spot = {"x": min(max(x, 2), box.width - 3), "y": min(max(y, 2), box.height - 3)}
        self.board.click(position=spot)

    def lay_cross(self, name: str) -> None:
        box = box_of(self.board)
        middle = np.array([box.width / 2, box.height / 2])
        for _ in range(8):
            self.tap(name)
            if float(np.abs(np.array(self.at(name)) - middle).max()) < 1:
                return press(self.page, "It is there")
        raise AssertionError(f"the cross does not come to {name}")

    def all(self, *, second_tip: str = "tip_b") -> None:
        for look in ("hub", "tip_a"):
            self.tap(look)
        for name in ("hub", "tip_a", second_tip, "mark", "mark", "pointer", "pointer"):
            self.lay_cross(name)


def turn(page: Page, deg: float, dps: float = 120) -> None:
    """Hold still for a second, turn clockwise as one sees it who faces the screen, rest."""
    expect(page.get_by_role("button", name="Hold still")).to_be_visible()
    page.evaluate("turns(0, 80)")
    expect(page.get_by_role("button", name="Stop here")).to_be_visible()
    page.evaluate(f"turns({-dps}, {round(deg / dps / STEP_S)}); turns(0, 20)")
    press(page, "Stop here")


def says(page: Page, words: str) -> None:
    expect(page.locator(".field")).to_contain_text(words)


def bag_of(workshop: ServedWorkshop, page: Page, folder: Path) -> tuple[str, Verdict]:
    """The job, and what an auditor's check says of its bag, once the phone has sent it all."""
    comes_to(page)
    job = page.evaluate("location.hash").split("/")[3]
    bag = folder / "job.zip"
    workshop.run("export", job, "--out", str(bag), "--originals", data=True)
    return job, verify(io.BytesIO(bag.read_bytes()), measures_photos=True)


def entries_of(workshop: ServedWorkshop, job: str, kind: str) -> dict[str, Any]:
    """The bodies of a job's entries of a kind, by the name of their proof."""
    records = [record for _, record, _ in Store(workshop.data).ledger.job_entries(job)]
    return {
        record.entry.body["name"]: record.entry.body
        for record in records
        if record.entry.kind == kind
    }


def measure_the_marks(mechanic: Mechanic, film: Film) -> None:
    picture, truth = wheel(0.1)
    film.show(picture)
    next_proof(mechanic.page, "Cam mark")
    take_photo(mechanic.page)
    Taps(mechanic.page, truth).all()
    expect(mechanic.page.get_by_text("In line", exact=True)).to_be_visible()
    mechanic.hold()


def count_the_turns(mechanic: Mechanic) -> None:
    page = mechanic.page
    page.evaluate(GYRO)
    next_proof(page, "Two turns by hand")
    reads_well(page)
    press(page, "It is fixed to the tool")
    turn(page, 400)
    says(page, "Turn on. Each stroke")
    press(page, "Add a stroke")
    turn(page, 320)
    says(page, "2 strokes added up. In the window")
    reads_well(page)
    mechanic.hold()


def turn_the_bolt(mechanic: Mechanic) -> None:
    """Its window is too narrow for a sensor that was not checked."""
    page = mechanic.page
    next_proof(page, "Check the turning sensor")
    press(page, "It lies at the edge")
    turn(page, 354)
    expect(page.get_by_role("heading", level=1)).to_have_text("Bolt turned on")
    press(page, "It is fixed to the tool")
    turn(page, 88.5)
    says(page, "True to")
    mechanic.hold()


def photograph_the_drive(mechanic: Mechanic, film: Film) -> None:
    page, (sharp, _) = mechanic.page, wheel(0)
    next_proof(page, "The drive")
    press(page, "back")
    film.show(sharp.filter(ImageFilter.GaussianBlur(9)))  # for a camera that opens after it
    expect(page.get_by_role("heading", level=1)).to_have_text(STEP)
    next_proof(page, "The drive")
    take_photo(page)
    says(page, "The photo looks blurred. Hold still and take it again.")
    film.show(sharp)
    press(page, "again")
    take_photo(page)
    says(page, "Sharper than the shot before.")
    mechanic.hold()


def test_what_the_instruments_measure_is_computed_anew_from_the_bag(
    opened, film, measuring, tmp_path
):
    mechanic = opened(*SENSORS)
    measure_the_marks(mechanic, film)
    count_the_turns(mechanic)
    turn_the_bolt(mechanic)
    photograph_the_drive(mechanic, film)
    mechanic.work(until=lambda screen: screen.step == "2")

    job, verdict = bag_of(measuring, mechanic.page, tmp_path)
    assert verdict.findings == ()
    assert verdict.report is not None
    assert verdict.report.count(ANEW["same"]) == 3
    assert "2 photos measured anew are as sharp as their phones said" in verdict.proven
    taken = entries_of(measuring, job, "reading.taken")
    photos = entries_of(measuring, job, "photo.taken")
    assert {name: body["by"] for name, body in taken.items()} == {
        "cam_mark": "marks",
        "turned": "turn",
        "bolt": "turn",
    }
    assert float(taken["cam_mark"]["value"]) == pytest.approx(0.1, abs=0.05)
    assert float(taken["turned"]["value"]) == pytest.approx(2, abs=0.03)
    assert float(taken["bolt"]["value"]) == pytest.approx(90, abs=1.5)
    assert [len(body["saw"]) for body in taken.values()] == [1, 2, 1]
    saw = taken["cam_mark"]["saw"][0]["blob"]
    sheet = json.loads(Store(measuring.data).blobs.path(saw).read_text())
    assert sheet["photo"] == photos["cam_mark"]["blob"]
    assert photos["drive"]["quality"]["sharp_tenths"] > 250


def test_a_mark_one_tooth_out_leads_to_what_is_wrong(opened, film):
    page = opened(*SENSORS).page
    picture, truth = wheel(1.0)
    film.show(picture)
    next_proof(page, "Cam mark")
    take_photo(page)
    reads_well(page)
    taps = Taps(page, truth)
    taps.all(second_tip="far_a")
    says(page, "The mark is not between the two tooth tips.")
    press(page, "Tap again")
    taps.tap("mark")
    taps.tap("tip_a")
    reads_well(page)
    press(page, "take back")
    press(page, "take back")
    taps.all()
    says(page, "The mark stands one tooth out, clockwise of the pointer.")
    reads_well(page)
    expect(page.locator(".key-hold, .key-keep")).to_have_count(0)
    press(page, "it is not like that")
    expect(page.get_by_text("The mark is a tooth out.")).to_be_visible()


def test_without_a_sensor_the_next_way_is_offered_or_there_is_none(opened, whole_browser):
    mechanic = opened(on=whole_browser)
    page = mechanic.page
    next_proof(page, "Cam mark")
    expect(page.get_by_role("alert")).to_contain_text("The camera is not allowed for this page.")
    press(page, "By hand")
    mechanic.figures |= {"Cam mark": "0.1", "Two turns by hand": "2"}
    mechanic.work(until=lambda screen: screen.title == "Two turns by hand")
    press(page, "It is fixed to the tool")
    expect(page.get_by_role("alert")).to_contain_text("The motion sensor is not allowed")
    press(page, "By hand")
    mechanic.work(until=lambda screen: screen.title == "Check the turning sensor")
    press(page, "It lies at the edge")
    says(page, "There is no other way to take this reading here.")
    expect(page.get_by_role("button", name="Try it again")).to_be_visible()
