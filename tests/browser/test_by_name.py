"""What a hand counts by name, holds against the old part, and sets on a wrench with an adaptor."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.app import enrol, violations
from browser.chromium import PHONE
from browser.film import Film
from browser.mechanic import Mechanic
from browser.serving import ServedWorkshop
from tiny_procedure import TINY_SOURCE
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle

pytestmark = [pytest.mark.browser, pytest.mark.slow(14)]

FIRST = "    says: [Push the pin in by hand.]\n    does: [lock=in]\n    tools_out: [l1]\n"
ASKED = """\
    says: [Count, then torque.]
    does: [lock=in]
    torque: {nm: 26}
    proof:
      - {name: parts, kind: count, label: parts of the kit, target: 6, of: kit}
      - {name: once, kind: count, label: new bolts, target: 5, of: single_use}
      - {name: tools, kind: count, label: tools on the board, target: 2, of: tools}
      - {name: teeth, kind: count, label: teeth of the new belt, target: 140}
      - {name: nut, kind: reading, label: nut, unit: N·m, low: 24.96, high: 27.04, target: 26,
         tool: torque_wrench}
    fails:
      - {id: short, says: Something is missing., then: Get it., leaves: {lock: out}}
"""
BELT_OFF = "    does: [nut=loose, belt=off]\n"
OLD = """\
    proof:
      - {name: old_teeth, kind: count, label: teeth of the old belt, target: 140,
         like: lock_in.teeth}
"""
KIT = """\
kit:
  belt: {label: timing belt, count: 1}
  bolts: {label: pump bolts, count: 5, single_use: yes}

drive:
"""
SOURCE = (
    TINY_SOURCE.replace(FIRST, ASKED)
    .replace(BELT_OFF, BELT_OFF + OLD)
    .replace("    tools_in: [l1]\n", "")
    .replace("    undo: yes\n    tools_out: [l1]\n", "    undo: yes\n")
    .replace(
        "  l1: {label: crank pin, outline: pin}\n",
        "  l1: {label: crank pin, outline: pin}\n  bar: {label: cam bar, outline: bar}\n",
    )
    .replace("drive:\n", KIT)
)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedWorkshop]:
    """A workshop with a procedure that counts by name; each test leaves a job there."""
    served = ServedWorkshop(tmp_path_factory.mktemp("by_name"))
    publish(Store(served.data), tiny_bundle(source=SOURCE), datetime.now(UTC))
    served.register_tools()
    day = datetime.now(UTC).date()
    served.state(
        "tool.registered",
        {
            "tool": "TW-9",
            "type": "torque_wrench",
            "label": "middle wrench",
            "low": "25",
            "high": "50",
            "unit": "N·m",
        },
    )
    served.state(
        "tool.calibrated", {"tool": "TW-9", "on": str(day), "due": str(day + timedelta(days=9))}
    )
    served.start()
    yield served
    served.kill()


@pytest.fixture
def page(browser: Browser, film: Film, served: ServedWorkshop) -> Iterator[Page]:
    """A phone before the first step of a job of its own."""
    context = browser.new_context(**PHONE)
    opened = context.new_page()
    opened.clock.install()
    faults = violations(opened)
    enrol(opened, served.address, served.invite("mechanic", "Ada Weir"))
    press(opened, "Open a job")
    Mechanic(opened, film=film).work(until=lambda screen: screen.step == "1")
    opened.store = lambda: Store(served.data)
    yield opened
    context.close()
    assert faults == []


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).click()


def tick(page: Page, name: str) -> None:
    page.locator(".ticks").get_by_role("button", name=name).click()


def key(page: Page) -> str:
    return page.locator(".deck .key-main").inner_text().replace("\n", " ")


def give(page: Page, name: str) -> None:
    """Go to one proof of the first step."""
    page.evaluate(
        "(to) => { location.hash = location.hash.split('/').slice(0, 4).join('/') + to }",
        f"/step/lock_in/give/{name}",
    )
    expect(page.locator(".torque, .ticks, [aria-label='Tools to count']")).to_be_visible()


def readings(page: Page, name: str) -> list[dict[str, Any]]:
    """What the workshop has of a proof, once all was sent."""
    expect(page.locator(".head-place")).to_have_text("in the workshop")
    store = page.store()
    job = page.evaluate("location.hash.split('/')[3]")
    bodies = [record.entry.body for _, record, _ in store.ledger.job_entries(job)]
    return [body for body in bodies if body.get("name") == name]


def test_parts_are_ticked_by_name_and_the_key_says_what_is_missing(page):
    give(page, "parts")
    assert key(page) == "Timing belt not ticked, 0 of 6"
    tick(page, "timing belt")
    assert key(page) == "Pump bolts not ticked, 1 of 6"
    tick(page, "5 pump bolts")
    tick(page, "timing belt")
    assert key(page) == "Timing belt not ticked, 5 of 6"
    tick(page, "timing belt")
    assert key(page) == "All 6 are here tap to keep"
    Mechanic(page).act(Mechanic(page).read())
    assert [body["value"] for body in readings(page, "parts")] == ["6"]


def test_a_tool_that_is_out_cannot_be_counted(page):
    job = page.evaluate("location.hash.split('/').slice(0, 4).join('/')")
    page.evaluate("(job) => { location.hash = `${job}/tools` }", job)
    press(page, "crank pin")
    expect(page.get_by_role("heading", level=1)).to_contain_text("still in the engine bay")
    give(page, "tools")
    board = page.get_by_role("group", name="Tools to count")
    board.get_by_role("button", name="cam bar").click()
    assert key(page) == "Crank pin is still in the engine bay"
    board.get_by_role("button", name="crank pin").click(force=True)
    expect(page.get_by_role("alert")).to_contain_text("Bring it back and hang it on the tool board")
    expect(board.get_by_role("button", name="crank pin")).to_have_attribute("aria-pressed", "false")


def fit_adaptor(page: Page, wrench_mm: str, adaptor_mm: str) -> None:
    press(page, "With an adaptor")
    for at, length in enumerate((wrench_mm, adaptor_mm)):
        page.locator(".lengths button").nth(at).click()
        page.get_by_role("textbox").fill(length)
        press(page, f"{length} mm")


def test_a_wrench_with_an_adaptor_is_set_lower_and_judged_so(page):
    give(page, "nut")
    expect(page.locator(".torque-figure")).to_have_text("26 N·m")
    fit_adaptor(page, "400", "45")
    assert key(page) == "Set 23.4 N·m 26.03 at the fastener"
    press(page, "Set 23.4 N·m")
    expect(page.locator(".torque-figure")).to_have_text("23.4 N·m")
    expect(page.locator(".through")).to_contain_text("The fastener gets 26.03 N·m")
    # TW-9 reaches 26, not 23.4.
    press(page, "other wrench")
    expect(page.get_by_role("list", name="Not for this")).to_contain_text(
        "23.4 N·m is below its range"
    )
    press(page, "TW-2")
    Mechanic(page).hold()
    (body,) = readings(page, "nut")
    adaptor = {"wrench_mm": 400, "adaptor_mm": 45, "angle_deg": 0}
    assert (body["value"], body["tool"], body["adaptor"]) == ("26.03", "TW-2", adaptor)


def test_a_wrench_that_does_not_reach_the_setting_is_refused_with_the_reason(page):
    give(page, "nut")
    press(page, "other wrench")
    press(page, "TW-9")
    fit_adaptor(page, "400", "45")
    press(page, "Set 23.4 N·m")
    expect(page.get_by_role("alert")).to_contain_text("TW-9: 23.4 N·m is below its range, 25 to 50")
    assert key(page) == "A wrench first that reaches 23.4 N·m"
    press(page, "Take the adaptor off")
    assert key(page) == "Clicked at 26 hold to sign"
    # At right angles nothing changes; the lengths are remembered.
    press(page, "With an adaptor")
    page.get_by_role("group", name="Angle between adaptor and wrench").get_by_text("90°").click()
    page.locator(".lengths button").nth(1).click()
    page.get_by_role("textbox").fill("45")
    press(page, "45 mm")
    assert key(page) == "Set 26 N·m 26 at the fastener"
    press(page, "45 mm at 0°, hand at 400 mm")
    expect(page.locator(".torque-figure")).to_have_text("23.4 N·m")


def test_the_old_belt_stands_beside_the_new_one_once_it_is_counted(page):
    mechanic = Mechanic(page, figures={"Teeth of the new belt": "140"})
    mechanic.work(until=lambda screen: screen.title == "Teeth of the old belt")
    expect(page.get_by_text("Teeth of the new belt")).to_have_count(0)
    for digit in "139":
        press(page, digit)
    page.locator(".deck .key-main").click()
    expect(page.get_by_role("status").filter(has_text="The two differ")).to_contain_text(
        "Teeth of the new belt: 140, 1 apart."
    )
