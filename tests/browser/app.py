"""What every screen of the app has in common, as a person in front of it would say it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Browser, Page, expect

from browser.serving import ServedWorkshop


def enrol(page: Page, address: str, link: str, *, has_worker: bool = True) -> None:
    """Open the app and join with a pasted invitation; returns when the home screen is there."""
    page.goto(address)
    page.get_by_role("textbox").fill(link)
    page.get_by_role("button", name="Read the invitation").click()
    expect(page.get_by_role("heading", name="Compare with the paper")).to_be_visible()
    page.get_by_role("button", name="It is the same: join this workshop").click()
    expect(page.get_by_role("heading", name="Compare with the paper")).to_be_hidden()
    # The worker has the whole app before the line may be cut.
    if has_worker:
        page.evaluate("navigator.serviceWorker.ready.then(() => null)")


@contextmanager
def joined(
    browser: Browser,
    size: dict[str, Any],
    workshop: ServedWorkshop,
    role: str,
    name: str,
    *,
    has_clock: bool = False,
) -> Iterator[Page]:
    """
    A browser of somebody who has joined; nothing is stopped on it, nor fails, to the end.
    `has_clock`: the test may wind the page's clock on.
    """
    context = browser.new_context(**size)
    page = context.new_page()
    if has_clock:
        page.clock.install()
    seen = violations(page)
    enrol(page, workshop.address, workshop.invite(role, name))
    yield page
    context.close()
    assert seen == []


def violations(page: Page) -> list[str]:
    """Collect what the content security policy stops on this page, and faults of ours."""
    seen: list[str] = []

    def hear(message: Any) -> None:
        # The browser itself tells of every answer that did not come, and of each 401.
        if message.type == "error" and not message.text.startswith("Failed to load resource"):
            seen.append(message.text)

    page.on("console", hear)
    page.on("pageerror", lambda error: seen.append(str(error)))
    return seen
