"""Two owners, each at their own desk: one orders an erasure, the other takes it back."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import DESK
from browser.mechanic import goes_out

pytestmark = pytest.mark.browser


@pytest.fixture
def owners(browser, done_job):
    pages, seen = [], []
    for name in ("Bela Weir", "Cora Weir"):
        context = browser.new_context(**DESK)
        page = context.new_page()
        page.clock.install()
        seen.append(violations(page))
        enrol(page, done_job.workshop.address, done_job.workshop.invite("owner", name))
        pages.append(page)
    yield pages
    for page in pages:
        page.context.close()
    assert seen == [[], []]


def test_an_order_is_seen_by_the_other_owner_and_withdrawn(owners, done_job):
    first, second = owners
    first.goto(f"{done_job.workshop.address}/#/desk/jobs/{done_job.job}")
    first.get_by_role("button", name="Erase private values of this job").click()
    first.get_by_role("button", name="Order the erasure").click()
    expect(first.get_by_text("Write why. It stays in the ledger")).to_be_visible()
    first.get_by_label("Why").fill("the customer asked")
    first.get_by_label("On what basis").fill("GDPR 17(1)(b)")
    first.get_by_role("button", name="Order the erasure").click()
    expect(first.get_by_text("It is hidden from all but owners now.")).to_be_visible()
    first.get_by_role("link", name="See when it is erased").click()
    expect(first.get_by_role("heading", name="What is ordered erased")).to_be_visible()
    expect(first.get_by_role("button", name="Erase it now")).to_have_count(0)

    told = second.get_by_role("link", name="are ordered erased on")
    goes_out(second, told)
    told.click()
    expect(second.get_by_text("by Bela Weir, device")).to_be_visible()
    # Both owners came in just now: nobody is a second voice yet.
    expect(second.get_by_role("button", name="Erase it now")).to_have_count(0)
    second.get_by_role("button", name="Withdraw it").click()
    second.get_by_label("Why it is withdrawn").fill("the invoice is not paid yet")
    second.get_by_role("button", name="Withdraw it").click()
    expect(second.get_by_text("Withdrawn: the invoice is not paid yet")).to_be_visible()
    expect(second.get_by_role("heading", name="Nothing waits to be erased")).to_be_visible()
    goes_out(first, first.get_by_role("heading", name="Nothing waits to be erased"))
