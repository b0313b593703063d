"""Every kind of screen: readable by all, in each light, at the narrowest; keys for gloved hands."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol, violations
from browser.chromium import DESK, PHONE
from browser.mechanic import Mechanic, Screen
from browser.serving import ROOT
from demo_procedures import ROADSIDE, text_of
from twoturns.store import Store
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW

pytestmark = [pytest.mark.browser, pytest.mark.slow(40)]

AXE = ROOT / "client" / "node_modules" / "axe-core" / "axe.min.js"
# The rules of axe-core 4.14: W3C's WCAG 2.2 at level AA, and its own good practice.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ALL = {"type": "tag", "values": TAGS}
# Light changes colours only.
COLOURS = {"type": "rule", "values": ["color-contrast"]}
THEMES = ("indoors", "sun", "night")
FOUND = """async ([theme, rules]) => {
  document.documentElement.dataset.theme = theme
  const { violations } = await axe.run(document, { runOnly: rules })
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${theme}, ${id}: ${html} ${failureSummary}`))
}"""
KEYS = """(leasts) => Object.entries(leasts).flatMap(([of, least]) =>
  [...document.querySelectorAll(of)]
    .filter((key) => key.checkVisibility() && key.getBoundingClientRect().height < least)
    .map((key) => `${key.textContent.trim()} is ${key.getBoundingClientRect().height} px high`))"""
# px: the main key for a thumb in a glove; anything else that is pressed, for a finger.
LEAST_HIGH = {".key-main": 126, "button, summary, main a": 44}
NARROWEST = {"width": 320, "height": 640}
# Not innerWidth: a phone zooms out until all of it fits, and that grows as well.
WIDER = """() => {
  const { clientWidth, scrollWidth } = document.documentElement
  return scrollWidth <= clientWidth ? [] : [...document.querySelectorAll('body *')]
    .filter((one) => one.getBoundingClientRect().right > clientWidth)
    .map((one) => `sticks out at 320 px: ${one.outerHTML.slice(0, 160)}`)
}"""

# A sentence whose arguments were not filled in, or were nothing.
RAW = """() => {
  const labels = [...document.querySelectorAll('[aria-label]')].map((one) => one.ariaLabel)
  return [document.body.innerText, ...labels]
    .flatMap((said) => said.match(/.*([{}]|\\bundefined\\b|\\bNaN\\b|\\bnull\\b).*/g) ?? [])
    .map((line) => `says: ${line}`)
}"""

# A drawing is seen whole, or not before the page is scrolled; a screen with a pad is not scrolled.
HALF_CUT = """() => {
  const end = document.querySelector('.deck').getBoundingClientRect().top
  const cut = [...document.querySelectorAll('.step-drawing')]
    .map((one) => one.getBoundingClientRect())
    .filter(({ top, bottom }) => top < end && bottom > end + 1)
    .map(({ bottom }) => `the deck hides ${Math.round(bottom - end)} px of a drawing`)
  const beside = document.querySelectorAll('.field:has(.pad) button')
  const under = [...beside].filter((key) => key.getBoundingClientRect().bottom > end + 1)
  return [...cut, ...under.map((key) => `the deck hides ${key.textContent}`)]
}"""


def faults_of(page: Page) -> list[str]:
    """What is wrong with the screen that is shown."""
    usual, theme = page.viewport_size, page.evaluate("document.documentElement.dataset.theme")
    found = page.evaluate(KEYS, LEAST_HIGH) + page.evaluate(RAW)
    for light in THEMES:
        found += page.evaluate(FOUND, [light, ALL if light == theme else COLOURS])
    page.evaluate("(theme) => { document.documentElement.dataset.theme = theme }", theme)
    page.set_viewport_size(NARROWEST)
    found += page.evaluate(WIDER)
    page.set_viewport_size(usual)
    return found


def is_clean(found: dict[str, list[str]]) -> None:
    told = [f"{where}\n    {fault}" for where, faults in found.items() for fault in faults]
    assert not told, "\n".join(told)


def opened(browser, **device: object) -> Iterator[Page]:
    """Open a page with axe on it, past the policy, which lets in no script but the app's."""
    context = browser.new_context(**device)
    page = context.new_page()
    page.add_init_script(AXE.read_text())
    page.clock.install()
    seen = violations(page)
    yield page
    context.close()
    assert seen == []


@pytest.fixture
def phone(browser):
    yield from opened(browser, **PHONE)


@pytest.fixture
def desk(browser):
    yield from opened(browser, **DESK)


def kind_of(screen: Screen) -> str:
    """Screens of one kind differ in their words only."""
    return "+".join([*screen.asks, screen.kind, "opening" if "open" in screen.address else ""])


def test_the_screens_of_a_job_in_work(phone, film, workshop):
    workshop.publish("van-timing-drive")
    phone.goto(workshop.address)
    expect(phone.get_by_role("heading", name="Open the invitation")).to_be_visible()
    found = {"invitation": faults_of(phone)}
    enrol(phone, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    mechanic = Mechanic(phone, film=film)

    def look(screen: Screen) -> None:
        if kind_of(screen) not in found:
            found[kind_of(screen)] = faults_of(phone)
        found[f"{screen.address}, {screen.title}"] = phone.evaluate(HALF_CUT)

    look(mechanic.read())
    mechanic.watch = look
    phone.get_by_role("button", name="Open a job").click()
    mechanic.work(until=lambda screen: screen.step == "23")
    job = mechanic.read().address
    beside = ("order", "tools", "note", "close", "places", "redo", "reopen/check_kit")
    beside += ("torques", "read/check_kit", "read/pins_out", "hand", "found/new", "park", "plan")
    steps = (
        "step/stud_in",
        "step/stud_in/fail",
        "step/hand_over",
        "step/stud_in/wrench/stud_torque",
    )
    steps += ("step/stud_in/adaptor/stud_torque",)

    def look_at(*addresses: str) -> None:
        for address in addresses:
            before = phone.locator("h1").inner_text()
            phone.evaluate("(address) => { location.hash = address }", address)
            expect(phone.locator("h1")).not_to_have_text(before)
            found[address.removeprefix(job)] = faults_of(phone)

    look_at(*(f"{job}/{name}" for name in beside + steps), *APART, "#/bay/call")
    phone.get_by_role("button", name="No", exact=True).click()  # said nothing, a call begins anew
    look_at(*CALL, "#/sign-out")
    is_clean(found)


CALL = tuple(f"#/bay/call/{stage}" for stage in ("noticed", "advice", "plate", "due", "sum"))
APART = ("#/bay/settings", "#/bay/closed", "#/bay/open")


def test_the_screens_of_desk_and_audit(desk, done_job):
    found = {}
    enrol(desk, done_job.workshop.address, done_job.workshop.invite("owner", "Bela Weir"))
    for room in ("desk", "audit"):
        desk.evaluate("(address) => { location.hash = address }", f"#/{room}")
        named = desk.get_by_role("navigation", name="Pages")
        pages = named.get_by_role("link")
        expect(desk.locator(".desk-mark")).to_have_attribute("href", f"#/{room}")
        for name in pages.all_inner_texts():
            page = named.get_by_role("link", name=name, exact=True)
            page.click()
            expect(page).to_have_attribute("aria-current", "page")
            expect(desk.locator("h1")).to_be_visible()
            found[f"{room}: {name}"] = faults_of(desk)
    for address in (f"#/desk/jobs/{done_job.job}", f"#/audit/find/{done_job.job}"):
        desk.evaluate("(address) => { location.hash = address }", address)
        desk.get_by_role("button", name="Open every step").click()
        expect(desk.locator(".photo-small img").first).to_be_visible()
        found[address] = faults_of(desk)
    for paper in ("sheet", "sticker", "invoice"):
        desk.evaluate("(address) => { location.hash = address }", f"#/paper/{done_job.job}/{paper}")
        expect(desk.locator(f'[aria-current="page"][href$="/{paper}"]')).to_be_visible()
        expect(desk.locator("main h1")).to_be_visible()
        found[f"paper: {paper}"] = faults_of(desk)
    desk.evaluate("(address) => { location.hash = address }", f"#/desk/jobs/{done_job.job}")
    desk.get_by_role("link", name="on one page").click()
    expect(desk.locator(".contact-cell img").first).to_be_visible()
    found["all photos of a job"] = faults_of(desk)
    desk.locator(".contact-cell .photo-small").first.click()
    expect(desk.get_by_text("It does not prove when")).to_be_visible()
    found["a photo"] = faults_of(desk)
    desk.keyboard.press("Escape")
    desk.evaluate("(address) => { location.hash = address }", "#/desk/calls/new")
    expect(desk.get_by_role("heading", name="Take a call")).to_be_visible()
    found["a call"] = faults_of(desk)
    source = text_of(ROADSIDE).replace("says:", "say:", 1)  # a fault, to be told
    Store(done_job.workshop.data).drafts.put("bench", Draft(source), NEW)
    desk.evaluate("(address) => { location.hash = address }", "#/desk/procedures/bench")
    expect(desk.get_by_text("The check found")).to_be_visible()
    for view in ("Text", "Form", "Drive", "Pictures", "Publish"):
        desk.get_by_role("button", name=view, exact=True).click()
        found[f"bench: {view}"] = faults_of(desk)
    is_clean(found)


def test_without_a_line_the_app_starts_from_what_is_on_the_phone(phone, workshop):
    enrol(phone, workshop.address, workshop.invite("mechanic", "Ada Weir"))
    phone.context.set_offline(True)
    phone.reload()
    expect(phone.get_by_role("heading", name="No open job")).to_be_visible()
    phone.context.set_offline(False)


def test_a_second_window_only_shows(phone, tiny_workshop):
    enrol(phone, tiny_workshop.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    second = phone.context.new_page()
    second.goto(tiny_workshop.address)
    words = "Two Turns is open in another window. Go on there; this one only shows."
    expect(second.get_by_text(words)).to_be_visible()
    expect(phone.get_by_text(words)).to_have_count(0)
    phone.close()
    expect(second.get_by_text(words)).to_have_count(0)
