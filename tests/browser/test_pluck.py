"""
The pluck through a browser: a sound file as the microphone, the worker that listens, a reading.

It takes as long as the sound does: two files of eleven seconds, one of three.
"""

from __future__ import annotations

import base64
import hashlib
import statistics
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, Playwright

from browser.chromium import ARGUMENTS, LEAN, WHOLE, Build, launched
from browser.pages import served_page
from pluck_belts import RATE_HZ, Belt, Sound, clip_of, near, plucked_again, wav_of
from twoturns.instruments import pluck

pytestmark = [pytest.mark.browser, pytest.mark.slow(8)]

BELT = replace(near(40_003), snr_db=30.0)
FILE = "--use-file-for-fake-audio-capture="


def window_around(hz: float) -> dict[str, str]:
    return {"low": f"{0.95 * hz:.1f}", "high": f"{1.05 * hz:.1f}", "nominal": f"{hz:.1f}"}


def plucks(belt: Belt) -> Sound:
    """Four plucks, two seconds apart, and quiet behind them; the first comes too early to count."""
    clips = [clip_of(plucked_again(belt, number)) for number in range(4)]
    quiet = clips[-1][: int(0.3 * RATE_HZ)]
    return np.concatenate([*clips, *[quiet] * 10])


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served_page("ear", tmp_path_factory.mktemp("ear")) as served:
        yield served


@contextmanager
def phone(
    playwright: Playwright,
    address: str,
    *also: str,
    build: Build = LEAN,
    permissions: tuple[str, ...] = (),
) -> Iterator[Page]:
    """A browser of its own: the file is the browser's, not the page's."""
    browser = launched(playwright, *also, build=build)
    page = browser.new_context(permissions=list(permissions)).new_page()
    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.on("console", lambda told: faults.append(told.text) if told.type == "error" else None)
    page.goto(address)
    yield page
    browser.close()
    assert faults == []


@contextmanager
def hearing(playwright: Playwright, address: str, file: Path) -> Iterator[Page]:
    with phone(playwright, address, f"{FILE}{file}%noloop", permissions=("microphone",)) as page:
        yield page


def listen(page: Page, window: dict[str, str]) -> dict[str, Any]:
    """Listen until the session ends."""
    said: dict[str, Any] = page.evaluate("(window) => ear.begin(window)", window)
    assert said["warning"] is None
    assert said["microphone"]["processing"] == {"echo": False, "noise": False, "gain": False}
    page.wait_for_function("() => ear.heard().end !== null", timeout=30_000)
    return page.evaluate("() => ear.heard()")


def test_three_plucks_give_the_reading_that_the_workshop_computes_anew(
    playwright: Playwright, address: str, tmp_path: Path
):
    file = tmp_path / "belt.wav"
    file.write_bytes(wav_of(plucks(BELT)))
    with hearing(playwright, address, file) as page:
        heard = listen(page, window_around(BELT.f1_hz))
        reading = page.evaluate("() => ear.end()")
    assert heard["end"]["verdict"] == "in-range"
    assert heard["lost"] == []
    assert max(heard["levels"]) > -20
    direct = [
        pluck.estimate(clip_of(plucked_again(BELT, number)), None).comb for number in (1, 2, 3)
    ]
    through = [found["hz"] for found in heard["plucks"] if found["reject"] is None]
    # The file reaches the estimator through 44.1 kHz, and another 2 s are cut from it.
    assert through == pytest.approx([comb.hz for comb in direct if comb], rel=0.01)
    assert statistics.median(through) == pytest.approx(BELT.f1_hz, rel=0.02)

    clips = [base64.b64decode(clip) for clip in reading["clips"]]
    by_hash = {hashlib.sha256(clip).hexdigest(): clip for clip in clips}
    anew = pluck.recompute(reading["sheet"], by_hash)
    assert isinstance(anew, pluck.Reading)
    assert (anew.value, anew.verdict) == (reading["value"], "in-range")
    assert pluck.same(reading["sheet"], anew)


def test_a_slack_belt_is_blocked_and_the_microphone_is_freed(
    playwright: Playwright, address: str, tmp_path: Path
):
    """A quarter of the tension: half the frequency, whose octave is the target."""
    file = tmp_path / "slack.wav"
    file.write_bytes(wav_of(plucks(BELT)))
    window = window_around(2 * BELT.f1_hz)
    with hearing(playwright, address, file) as page:
        heard = listen(page, window)
        assert page.evaluate("() => ear.end()") is None
        assert [found["reject"] for found in heard["plucks"]] == ["far"] * 3
        assert heard["end"]["trouble"]["code"] == "far-again"
        count = len(page.evaluate("() => ear.heard()")["levels"])
        page.wait_for_timeout(300)
        assert len(page.evaluate("() => ear.heard()")["levels"]) == count, "it listens no more"
        assert "microphone" in page.evaluate("(window) => ear.begin(window)", window)


def test_a_microphone_that_gives_nothing_is_no_quiet_place(
    playwright: Playwright, address: str, tmp_path: Path
):
    file = tmp_path / "nothing.wav"
    file.write_bytes(wav_of(np.zeros(2 * RATE_HZ)))
    with hearing(playwright, address, file) as page:
        page.evaluate("(window) => ear.begin(window)", window_around(80))
        page.wait_for_function("() => ear.heard().lost.length > 0", timeout=20_000)
        assert page.evaluate("() => ear.heard().lost") == ["silent"]


@pytest.mark.parametrize(
    ("fake", "code"),
    [(True, "refused"), (False, "no-microphone")],
    ids=["not allowed", "not there"],
)
def test_without_a_microphone_it_says_so_and_what_to_do(playwright, address, fake, code):
    arguments = tuple(word for word in ARGUMENTS if fake or "fake-device" not in word)
    build = replace(WHOLE, arguments=arguments)
    permissions = () if fake else ("microphone",)
    with phone(playwright, address, build=build, permissions=permissions) as page:
        trouble = page.evaluate("(window) => ear.begin(window)", window_around(80))
    assert trouble["code"] == code
    assert trouble["hint"].endswith("another way.")
