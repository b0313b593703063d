"""A rule that asks, a slow camera, and two phones that disagree: on jobs of five steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.app import enrol
from browser.chromium import PHONE
from browser.film import Film
from browser.mechanic import Mechanic, comes_to, goes_out
from browser.serving import ServedWorkshop
from twoturns.procedure.rules.house import Rule
from twoturns.store import Store
from twoturns.store.bundles import publish
from twoturns.store.desk import desk
from workshop import tiny_bundle

pytestmark = pytest.mark.browser

ASKS = Rule(
    id="belt_on_locked",
    kind="ask",
    never="Lay the belt on with a pin in",
    doing=("belt=new",),
    unless=(("lock", ("out",)),),
    because="This house wants to hear of it.",
)
# Holds each first frame back until the test lets it go.
SLOW_CAMERA = """() => {
  window.letGo = []
  HTMLVideoElement.prototype.requestVideoFrameCallback = (seen) => window.letGo.push(seen)
}"""


@pytest.fixture
def phone(browser: Browser, film: Film) -> Iterator[Callable[[ServedWorkshop, str], Mechanic]]:
    """Opens phones of a workshop, each with its person."""
    contexts = []

    def opened(workshop: ServedWorkshop, person: str) -> Mechanic:
        contexts.append(browser.new_context(**PHONE))
        page = contexts[-1].new_page()
        page.clock.install()
        enrol(page, workshop.address, workshop.invite("mechanic", person))
        return Mechanic(page, film=film)

    yield opened
    for context in contexts:
        context.close()


def test_a_rule_that_asks_is_passed_with_a_reason_and_a_photo(phone, workshop):
    bundle = tiny_bundle(rules=[ASKS])
    publish(Store(workshop.data), bundle, datetime.now(UTC))
    mechanic = phone(workshop, "Ada Weir")
    page = mechanic.page
    page.get_by_role("button", name="Open a job").click()
    mechanic.work(until=lambda screen: screen.step == "3")
    expect(page.get_by_text(ASKS.because)).to_be_visible()
    page.get_by_role("button", name="pass it by").click()
    expect(page.get_by_role("button", name="Why first")).to_be_visible()
    page.get_by_role("textbox").fill("The pin is stuck, and the owner knows.")
    page.get_by_role("button", name="Go on with 3").click()
    page.evaluate(SLOW_CAMERA)
    mechanic.act(mechanic.read())
    the_shutter_waits_for_a_frame(page)
    # The step's own proof first, then the photo for the owner.
    titles: list[str] = []
    mechanic.watch = lambda screen: titles.append(screen.title)
    mechanic.work(until=lambda screen: screen.step == "4")
    assert list(dict.fromkeys(titles)) == [
        "The whole drive",
        "New belt on",
        "A photo of how it is",
    ]
    comes_to(page)
    ((_, line),) = desk(Store(workshop.data), "")
    assert (line["done"], line["codes"]) == (3, ["passed"])


def the_shutter_waits_for_a_frame(page: Page) -> None:
    waits = page.get_by_role("button", name="Camera opens")
    page.wait_for_function("() => window.letGo.length > 0")
    expect(waits).to_be_visible()
    page.evaluate("() => window.letGo.forEach((seen) => seen())")
    expect(waits).to_have_count(0)
    page.evaluate("() => { delete HTMLVideoElement.prototype.requestVideoFrameCallback }")


def test_two_phones_that_disagree_are_told_what_to_look_at(phone, workshop):
    publish(Store(workshop.data), tiny_bundle(), datetime.now(UTC))
    ada, bela = phone(workshop, "Ada Weir"), phone(workshop, "Bela Weir")
    ada.page.get_by_role("button", name="Open a job").click()
    ada.work(until=lambda screen: screen.step == "2")
    comes_to(ada.page)
    job = ada.read().address
    ada.page.context.set_offline(True)
    # Bela goes on with it, and the nut does not move; Ada knows nothing of that, and it does.
    theirs = bela.page.get_by_role("button", name="Ombral Hayfork")
    goes_out(bela.page, theirs)
    theirs.click()
    expect(bela.page.get_by_text("Ada Weir wrote the last thing in it")).to_be_visible()
    bela.hold()
    bela.page.get_by_role("button", name="it is not like that").click()
    bela.rows = {"What is it like?": "The nut does not move."}
    bela.work(until=lambda screen: screen.address.endswith("/redo"))
    comes_to(bela.page)
    ada.work(until=lambda screen: screen.step == "3")
    ada.page.context.set_offline(False)
    comes_to(ada.page)
    ada.page.evaluate("(job) => { location.hash = job }", job)
    ada.rows = {"Look at tensioner nut": "The nut is loose"}
    ada.work(until=lambda screen: screen.title == "Look at tensioner nut")
    expect(ada.page.get_by_text("The phones on this job do not agree.")).to_be_visible()
    may_be = "It may be that the nut is tight, or the nut is loose."
    expect(ada.page.get_by_text(may_be)).to_be_visible()
    # Neither is asked who was right: what is seen now counts, for both.
    seen = ada.work(until=lambda screen: screen.title != "Look at tensioner nut")
    comes_to(ada.page)
    bela.main_key.click()
    goes_out(bela.page, bela.page.get_by_text("Ada Weir wrote the last thing in it"))
    bela.hold()
    assert bela.read().title == seen.title
