"""Owner and mechanic, each at their own screen: a question, its answers, approval, a change."""

from __future__ import annotations

import re
import time

import pytest
from playwright.sync_api import Page, expect

from browser.app import joined
from browser.chromium import DESK
from browser.mechanic import comes_to, goes_out, hold
from browser.serving import PATIENCE_S
from twoturns.store import Store

pytestmark = pytest.mark.browser


@pytest.fixture
def owner(browser, done_job):
    """The owner's browser, enrolled."""
    with joined(browser, DESK, done_job.workshop, "owner", "Bela Weir", has_clock=True) as page:
        yield page


def test_asked_answered_approved_and_then_changed(owner, done_job):
    phone = done_job.mechanic.page
    expect(owner.get_by_role("button", name="WEIR 12 is ready to approve")).to_be_visible()
    owner.get_by_role("button", name="Open the job").click()
    ask(owner, "3", "Which way does the arrow point?")
    expect(owner.get_by_text("A question has no answer yet.")).to_be_visible()
    wait_for(done_job, "review.returned")
    goes_out(phone, phone.get_by_role("heading", name="The owner asks about 3"))
    expect(phone.get_by_text("Which way does the arrow point?")).to_be_visible()
    phone.get_by_label("Answer in words").fill("In the running direction.")
    done_job.mechanic.hold()
    wait_for(done_job, "review.answered")
    see_answer(owner, "Answered: In the running direction.")

    ask(owner, "4", "Show the mark.")
    expect(owner.get_by_text("A question has no answer yet.")).to_be_visible()
    wait_for(done_job, "review.returned", 2)
    goes_out(phone, phone.get_by_role("heading", name="The owner asks about 4"))
    phone.get_by_role("button", name="Answer with a photo").click()
    done_job.mechanic.work(until=lambda screen: screen.title == "Closed: Finished")
    wait_for(done_job, "review.answered", 2)
    see_answer(owner, "Answered: with a photo.")

    approve = owner.get_by_role("button", name="Approve this job")
    hold(owner, approve)
    expect(owner.get_by_text("Approved. Later entries would show here as changed.")).to_be_visible()
    wait_for(done_job, "review.approved")
    expect(phone.get_by_role("heading", name="Closed: Finished")).to_be_visible()
    add_a_note(done_job, "The mark was painted anew.")
    wait_for(done_job, "note.added", 2)  # the signature is the first
    owner.get_by_role("link", name="Eyes first").click()
    goes_out(owner, owner.get_by_role("button", name="WEIR 12: approved, then changed"))


def ask(owner: Page, step: str, words: str) -> None:
    """Ask about a step that may be folded away."""
    owner.get_by_role("button", name="Open every step").click()
    owner.get_by_role("button", name=re.compile(rf"^Ask about this step ?, {step}$")).click()
    owner.get_by_label(f"Question about {step}").fill(words)
    owner.get_by_role("button", name="Send the question").click()
    expect(owner.get_by_text(f"Asked: {words}")).to_be_visible()


def see_answer(owner: Page, words: str) -> None:
    """A step whose question is answered folds itself away: it asks for no eyes any more."""
    goes_out(owner, owner.get_by_text("A question has no answer yet."), gone=True)
    owner.get_by_role("button", name="Open every step").click()
    expect(owner.get_by_text(words)).to_be_visible()


def wait_for(done_job, kind: str, count: int = 1) -> None:
    """Wait until the workshop holds so many entries of a kind: they go out by themselves."""
    store = Store(done_job.workshop.data)
    until = time.monotonic() + PATIENCE_S
    held = 0
    while held < count:
        assert time.monotonic() < until, f"{held} of {count} {kind} came"
        time.sleep(0.05)
        records = store.ledger.job_entries(done_job.job)
        held = sum(record.entry.kind == kind for _, record, _ in records)


def add_a_note(done_job, words: str) -> None:
    phone = done_job.mechanic.page
    phone.locator(".head").click()
    phone.get_by_role("button", name="Add a note").click()
    phone.get_by_label("What the owner should know").fill(words)
    done_job.mechanic.hold()
    comes_to(phone)
