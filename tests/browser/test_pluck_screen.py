"""
A belt heard on the phone: from the tap that opens the microphone to the bag that bears it out.

The microphone is a sound file of belts that never were (tests/pluck_belts.py); a browser of its
own, as the file is the browser's. It takes as long as the sound does: three times six seconds.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Playwright, expect

from browser.app import enrol, violations
from browser.chromium import PHONE, WHOLE, launched
from browser.mechanic import Mechanic
from browser.serving import ServedWorkshop
from pluck_belts import RATE_HZ, Sound, clip_of, near, plucked_again, wav_of
from tiny_procedure import TINY_SOURCE
from twoturns.bag.verify import verify
from twoturns.store import Store
from twoturns.store.bundles import publish
from twoturns.words.en.bag.sentences import ANEW
from workshop import tiny_bundle

pytestmark = [pytest.mark.browser, pytest.mark.slow(10)]

BELT = near(40_004, f1_hz=95.0, snr_db=30.0)
BEAT = round(1.5 * RATE_HZ)
PATIENCE_MS = 30_000
# What the page has opened, for a test that asks whether it was closed.
TRACKS = """() => {
  const devices = navigator.mediaDevices
  const open = devices.getUserMedia.bind(devices)
  window.tracks = []
  devices.getUserMedia = async (wish) => {
    const stream = await open(wish)
    window.tracks.push(...stream.getTracks())
    return stream
  }
}"""


def proof(name: str, hz: float) -> str:
    low, high = round(0.95 * hz, 1), round(1.05 * hz, 1)
    return (
        f"      - {{name: {name}, kind: reading, label: {name} note, unit: Hz,"
        f" low: {low}, high: {high}, by: [pluck, hand]}}\n"
    )


PUSHED = "    says: [Push the pin in by hand.]\n    does: [lock=in]\n    tools_out: [l1]\n"
# A span at half its target has an octave that is the target: it must never pass by it.
PROOFS = (
    "    proof:\n"
    + proof("set", BELT.f1_hz)
    + proof("slack", 2 * BELT.f1_hz)
    + proof("tight", 0.9 * BELT.f1_hz)
    + "    fails:\n"
    "      - {id: slack, says: The span is slack., then: Set it anew., leaves: {lock: out}}\n"
)
SOURCE = TINY_SOURCE.replace(PUSHED, PUSHED.replace("    tools_out: [l1]\n", "") + PROOFS)


def plucks() -> Sound:
    """Three plucks, a second and a half apart, quiet before and behind them."""
    clips = [clip_of(plucked_again(BELT, number))[:BEAT] for number in (1, 2, 3)]
    quiet = clips[0][: round(0.3 * RATE_HZ)]
    return np.concatenate([*[quiet] * 3, *clips, *[quiet] * 5])


@pytest.fixture
def phone(playwright: Playwright, tmp_path: Path) -> Iterator[BrowserContext]:
    file = tmp_path / "belt.wav"
    file.write_bytes(wav_of(plucks()))
    sound = f"--use-file-for-fake-audio-capture={file}%noloop"
    browser = launched(playwright, sound, build=WHOLE)
    yield browser.new_context(**{**PHONE, "permissions": []})
    browser.close()


@pytest.fixture
def page(phone: BrowserContext, workshop: ServedWorkshop) -> Iterator[Page]:
    """The app before the first proof of the tiny procedure, the belt's note."""
    publish(Store(workshop.data), tiny_bundle(source=SOURCE), datetime.now(UTC))
    page = phone.new_page()
    page.add_init_script(f"({TRACKS})()")
    page.clock.install()
    faults = violations(page)
    enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    page.get_by_role("button", name="Open a job").click()
    Mechanic(page).work(until=lambda screen: screen.step == "1")
    yield page
    assert faults == []


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).click()


def heading(page: Page) -> Locator:
    return page.get_by_role("heading", level=1)


def begin(page: Page, title: str) -> None:
    """Begin a proof: the step's key opens the first, and each leads on to the next."""
    if heading(page).inner_text() == "Pin in":
        page.locator(".deck .key-main").click()
    expect(heading(page)).to_have_text(title)
    press(page, "Listen")


def is_closed(page: Page) -> bool:
    return page.evaluate("window.tracks.every(({ readyState }) => readyState === 'ended')")


def test_a_belt_is_heard_without_a_line_and_borne_out_by_its_bag(page, phone, workshop, tmp_path):
    begin(page, "Set note")
    expect(page.get_by_role("alert")).to_contain_text("The microphone is not allowed")
    expect(page.get_by_role("button", name="By hand")).to_be_visible()

    phone.grant_permissions(["microphone"])
    phone.set_offline(True)
    press(page, "Try it again")
    expect(heading(page)).to_have_text("Pluck the span")
    assert not is_closed(page)
    page.locator(".head").click()  # to the order of work
    expect(heading(page)).not_to_have_text("Pluck the span")
    assert is_closed(page)
    page.go_back()
    press(page, "Listen")
    expect(page.get_by_role("img", name="Pluck 1: holds")).to_be_visible(timeout=PATIENCE_MS)
    expect(page.get_by_text("In range", exact=True)).to_be_visible(timeout=PATIENCE_MS)
    assert is_closed(page)
    value = page.locator(".key-keep strong").inner_text().removesuffix(" Hz")
    assert float(value) == pytest.approx(BELT.f1_hz, rel=0.02)
    Mechanic(page).hold()

    begin(page, "Slack note")
    expect(page.get_by_text("Cannot tell", exact=True)).to_be_visible(timeout=PATIENCE_MS)
    expect(page.get_by_role("alert")).to_contain_text("Three plucks in a row fitted two readings")
    expect(page.locator(".key-keep")).to_have_count(0)
    assert is_closed(page)
    press(page, "By hand")
    Mechanic(page).work(until=lambda screen: screen.title == "Tight note")

    begin(page, "Tight note")
    expect(page.get_by_text("Too high", exact=True)).to_be_visible(timeout=PATIENCE_MS)
    expect(page.locator(".key-hold, .key-keep")).to_have_count(0)
    press(page, "it is not like that")
    expect(page.get_by_text("The span is slack.")).to_be_visible()

    phone.set_offline(False)
    expect(page.locator(".head-place")).to_have_text("in the workshop", timeout=PATIENCE_MS)
    job = page.evaluate("location.hash").split("/")[3]
    store = Store(workshop.data)
    bodies = [
        record.entry.body
        for _, record, _ in store.ledger.job_entries(job)
        if record.entry.kind == "reading.taken"
    ]
    assert [(body["name"], body.get("by")) for body in bodies] == [
        ("set", "pluck"),
        ("slack", None),
    ]
    types = [one["type"] for one in bodies[0]["saw"]]
    assert types == ["application/json", *["audio/wav"] * 3]
    assert [store.blobs.path(one["blob"]).stat().st_size for one in bodies[0]["saw"]] == [
        one["size"] for one in bodies[0]["saw"]
    ]
    bag = tmp_path / "job.zip"
    workshop.run("export", job, "--out", str(bag), "--originals", data=True)
    verdict = verify(io.BytesIO(bag.read_bytes()))
    assert verdict.findings == ()
    assert verdict.report is not None
    assert verdict.report.count(ANEW["same"]) == 1
