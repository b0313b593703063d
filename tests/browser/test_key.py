"""A phone in a real browser, a running server, and a key that changes hands behind them."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol, violations
from browser.chromium import PHONE
from browser.serving import ServedWorkshop
from twoturns.ledger import recovery
from twoturns.store import Store
from twoturns.store.succession import recover, rotate

pytestmark = pytest.mark.browser

#: What the phone would say again at its next start.
KEPT = """() => new Promise((resolve, reject) => {
  const opening = indexedDB.open('two-turns')
  opening.onerror = () => reject(opening.error)
  opening.onsuccess = () => {
    const kept = opening.result.transaction('things').objectStore('things').get('notices')
    kept.onsuccess = () => { opening.result.close(); resolve(kept.result) }
  }
})"""
PAPER, NEXT = b"p" * 16, b"n" * 16


def test_a_phone_follows_the_key_and_says_when_it_was_recovered(browser, tmp_path):
    thumbprint = recovery.signing_key(PAPER).thumbprint
    Store.create(tmp_path / "data", "Workshop at the Weir", datetime.now(UTC), recovery=thumbprint)
    workshop = ServedWorkshop(tmp_path)
    workshop.start()
    context = browser.new_context(**PHONE)
    page = context.new_page()
    seen = violations(page)
    try:
        enrol(page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
        trusted = Store(workshop.data).ledger.size()

        with follows(page):
            rotate(Store(workshop.data), datetime.now(UTC))
        expect(page.locator(".notice")).to_have_count(0)

        with follows(page):
            recover(Store(workshop.data), PAPER, then=NEXT, size=trusted, now=datetime.now(UTC))
        notice = page.locator(".notice")
        expect(notice).to_contain_text("The workshop's key was lost or stolen")
        if folder := os.environ.get("PICTURES"):
            page.screenshot(path=Path(folder) / "key-recovered.png")
        notice.get_by_role("button", name="I have read it").click()
        expect(page.locator(".notice")).to_have_count(0)
        # It goes from the screen first, and from what is kept then.
        page.wait_for_function(f"async () => (await ({KEPT})()).length === 0")
        page.reload()
        expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
        expect(page.locator(".notice")).to_have_count(0)
    finally:
        context.close()
        workshop.kill()
    assert seen == []


@contextmanager
def follows(page: Page) -> Iterator[None]:
    """Change the key, and have the phone try its line until it has asked how that came about."""
    with page.expect_response(lambda answer: answer.url.endswith("/api/keys")) as told:
        yield
        # A round that was under way then may have heard of it, and may not.
        page.evaluate("window.trying = setInterval(() => dispatchEvent(new Event('online')), 1000)")
    page.evaluate("clearInterval(window.trying)")
    assert told.value.status == 200
    expect(page.get_by_text("Everything is in the workshop.")).to_be_visible()
