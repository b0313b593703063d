"""A call as it is taken on the phone: the answers of somebody whose van stands at home."""

from __future__ import annotations

from playwright.sync_api import Page, expect


def say(page: Page, *answers: str) -> None:
    for answer in answers:
        page.get_by_role("button", name=answer, exact=True).click()


def go_on(page: Page, **typed: str) -> None:
    for label, text in typed.items():
        page.get_by_label(label.replace("_", " ")).fill(text)
    page.locator(".key-main").click()


def to_advice(page: Page) -> None:
    """From the first screen to what the caller is told: it stopped while it ran."""
    page.get_by_role("button", name="Take a call").click()
    say(page, "No", "Yes", "Yes", "Knocks")  # runs, stopped, cranked since
    go_on(page)
    say(page, "The timing belt", "No", "At home, in a yard")
    go_on(page)
    expect(page.get_by_role("heading", name="Have it recovered")).to_be_visible()


def to_verdict(page: Page, **belt: str) -> None:
    """From there to whether the belt is due; of a belt of which nobody knows, unless it is said."""
    go_on(page)
    go_on(page, Telephone="+99 55 1234", Name="Mira Oake")
    go_on(page, As_it_is="ÄB 57")
    page.get_by_role("button", name="QL-19D4").click()
    go_on(page, As_it_stands="88 650")
    go_on(page, **{"By_its_sticker": belt["fitted"]} if belt else {})
    go_on(page, **{"As_it_stands": belt["at"]} if belt else {})
    say(page, "Normal use")
    page.get_by_text("The vehicle maker’s data for this engine decide.").last.wait_for()
