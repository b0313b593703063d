"""
The other jobs of the demo, from the first screen to their ends.

One workshop and one phone without a line; when it is back, the workshop tells what became of a job.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import Browser, expect

from browser.app import enrol, violations
from browser.chromium import PHONE
from browser.film import Film
from browser.mechanic import AT_THE_VAN, Mechanic, Screen, goes_out
from browser.serving import ServedWorkshop
from twoturns.store import Store
from twoturns.store.desk import desk

pytestmark = [pytest.mark.browser, pytest.mark.slow(60)]

AT_THE_HATCH = {
    "Teeth of the new belt": "146",
    "Small torque wrench": "TW-2",
    "Large torque wrench": "TW-5",
    "Teeth from crankshaft mark to inlet mark": "66",
    "Teeth from crankshaft mark to exhaust mark": "91",
}
AT_THE_ROADSIDE = {"Lot on the belt's sleeve": "NH-77", "Odometer": "61240"}
RECOVER = "Recover, do not crank"
STRANDS = "Red: strands are drawn behind the wheel."
PATIENCE_S = 120


@dataclass
class Bench:
    """One phone in a workshop, its mechanic, and the screens shown since the job began."""

    workshop: ServedWorkshop
    mechanic: Mechanic
    faults: list[str]
    shown: list[Screen]

    def open_job(self, engine: str, **figures: str) -> None:
        page = self.mechanic.page
        self.go("#/bay")
        page.get_by_role("button", name="Open a job").click()
        self.mechanic.figures = {**AT_THE_VAN, **figures}
        self.mechanic.rows = {"The engine code on the block": engine}
        self.shown.clear()

    def job(self) -> str:
        return self.mechanic.read().address.split("/")[3]

    def at(self, title: str) -> Screen:
        return self.mechanic.work(until=lambda screen: screen.title == title)

    def go(self, address: str) -> None:
        self.mechanic.page.evaluate("(address) => { location.hash = address }", address)

    def sent(self) -> tuple[str, int, int]:
        """Send the job with the line that comes back, and say how the workshop has it."""
        job, page = self.job(), self.mechanic.page
        page.context.set_offline(False)
        # What the cut line left hanging ends first.
        place = page.locator(".head-place", has_text="in the workshop")
        goes_out(page, place, within_s=PATIENCE_S)
        page.context.set_offline(True)
        (line,) = [one for _, one in desk(Store(self.workshop.data), "") if one["job"] == job]
        return line["state"], line["done"], line["steps"]


@pytest.fixture(scope="module")
def bench(
    browser: Browser, film: Film, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Bench]:
    workshop = ServedWorkshop(tmp_path_factory.mktemp("jobs"))
    workshop.register_tools()
    for name in ("hatch-timing-drive", "roadside-auxiliary-belt"):
        workshop.publish(name)
    old = {"tool": "TW-OLD", "type": "torque_wrench", "label": "old wrench"}
    workshop.state("tool.registered", old)
    workshop.state("tool.calibrated", {"tool": "TW-OLD", "on": "2024-05-02", "due": "2025-05-02"})
    workshop.start()
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.clock.install()
    faults = violations(page)
    enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
    context.set_offline(True)
    mechanic = Mechanic(page, film=film)
    mechanic.watch = (shown := []).append
    yield Bench(workshop, mechanic, faults, shown)
    context.close()
    workshop.kill()
    assert faults == []


def test_the_hatch_is_finished(bench):
    bench.open_job("DX-12P3", **AT_THE_HATCH)
    bench.at("Closed: Finished and handed over")
    keys = [screen.key for screen in bench.shown]
    # A step that asks for two torques has each on a screen of its own.
    assert keys.index("Clicked at 21") < keys.index("Clicked at 6")
    # What cannot be photographed again is looked at first; all else is kept at once.
    looked = {screen.step for screen in bench.shown if screen.key == "Look at it full size"}
    assert looked == {"13", "16"}
    # Pin and bar hang on the board before they are counted.
    asked = [screen for screen in bench.shown if screen.step == "31"]
    counted = next(at for at, screen in enumerate(asked) if "count" in screen.asks)
    assert [screen.key for screen in asked].index("Hang 2 on the board") < counted
    assert bench.sent() == ("closed", 44, 44)


def test_the_roadside_job_is_finished(bench):
    bench.open_job("DX-16P4", **AT_THE_ROADSIDE)
    bench.at("Torque wrench")
    a_tag_is_looked_up(bench)
    bench.at("Closed: Handed over, a workshop expects it")
    expect(bench.mechanic.page.get_by_text("36 of 36 hold")).to_be_visible()
    assert bench.sent() == ("closed", 36, 36)


def a_tag_is_looked_up(bench: Bench) -> None:
    page, tag = bench.mechanic.page, bench.mechanic.page.get_by_role("textbox")
    page.get_by_role("button", name="Type it").click()
    for typed, words in (
        ("TW-9", "No tool of this workshop has the tag TW-9."),
        ("TW-OLD", "TW-OLD: Its calibration ended on"),
    ):
        tag.fill(typed)
        expect(page.get_by_role("alert").filter(has_text=words)).to_be_visible()
        expect(page.get_by_role("button", name="Not this one")).to_be_visible()
    tag.fill("")


def test_a_red_verdict_leads_to_recovery_and_to_nothing_else(bench):
    bench.open_job("DX-16P4", **AT_THE_ROADSIDE)
    mechanic, page = bench.mechanic, bench.mechanic.page
    mechanic.rows |= {"Behind the wheel": "red - strands drawn in", "What is it like?": STRANDS}
    ending = bench.at(RECOVER)
    expect(page.get_by_text("Never crank or turn the engine")).to_be_visible()
    expect(page.get_by_text("call the owner, then end the job")).to_be_visible()
    job = f"#/bay/job/{bench.job()}"
    # Whatever is asked for now, the phone says the same.
    for step in ("confirm_vehicle", "first_start", "look_behind_wheel"):
        bench.go(f"{job}/step/{step}")
        expect(page.get_by_text(": not any more.")).to_be_visible()
        assert (mechanic.read().title, mechanic.read().key) == (RECOVER, ending.key)
    bench.go("#/bay")
    expect(page.get_by_text(f"to be ended: {RECOVER}")).to_be_visible()
    bench.go(job)
    mechanic.main_key.click()
    ends = page.get_by_role("group", name="How does the job end?").get_by_role("button")
    expect(ends).to_have_text([RECOVER, "Stopped, recovered without being cranked"])
    # What was found is the reason until somebody writes another.
    expect(page.get_by_role("textbox")).to_have_value(STRANDS)
    mechanic.hold()
    expect(page.get_by_role("heading", name=f"Closed: {RECOVER}")).to_be_visible()
    expect(page.get_by_text("next due")).to_have_count(0)
    assert bench.sent() == ("closed", 5, 36)


def test_a_red_place_may_also_be_stopped(bench):
    bench.open_job("DX-16P4", **AT_THE_ROADSIDE)
    mechanic, page = bench.mechanic, bench.mechanic.page
    mechanic.rows |= {"The place": "red", "What is it like?": "Red: one of the list is so."}
    bench.at(RECOVER)
    mechanic.main_key.click()
    page.get_by_role("button", name="Stopped, recovered without being cranked").click()
    mechanic.hold()
    title = "Closed: Stopped, recovered without being cranked"
    expect(page.get_by_role("heading", name=title)).to_be_visible()
    assert bench.sent() == ("closed", 2, 36)
