"""
A golden profile of an owner: what a build of the app once kept in an owner's browser.

    PYTHONPATH=tests:server python -m faults.browser.golden_owner 2026-11-30

The owner's browser has looked at a closed job, and approved it without a line: that entry the
workshop does not have. That of 2026-11-30 was made by the last build that held the whole ledger
(7c941243^, before release). `said.json` says what a later build must find.
"""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import Page, Playwright, expect

from browser.app import enrol
from browser.mechanic import hold
from browser.phone import Phone
from faults.browser.golden import (
    ADDRESS,
    GOLDEN,
    LIGHTER,
    SCRIPT,
    close_the_job,
    joined,
    leave,
    main,
)
from faults.browser.oracle import ROWS, own_entries
from faults.browser.rig import Rig

OWNERS = GOLDEN / "owners"
APPROVED = "Approved. Later entries would show here as changed."


def make(playwright: Playwright, folder: Path, into: Path) -> None:
    mechanic = joined(playwright, folder)
    workshop = mechanic.workshop
    with mechanic.opened() as page:
        close_the_job(mechanic, page)
    phone = Phone(playwright, folder / "owner", mechanic.phone.film, also=mechanic.phone.also)
    owner = Rig(phone, workshop, mechanic.proxy)
    with phone.opened() as opened:
        enrol(opened.page, ADDRESS, workshop.invite("owner", "Bela Weir"))
        said = approve_without_a_line(opened.page, owner)
    leave(into, said, folder / "owner", workshop)


def approve_without_a_line(page: Page, owner: Rig) -> dict[str, object]:
    """The one closed job is looked at and approved; returns what is in the browser then."""
    ready = page.get_by_role("button", name="WEIR 12 is ready to approve")
    expect(ready).to_be_visible()
    page.get_by_role("button", name="Open the job").click()
    approve = page.get_by_role("button", name="Approve this job")
    expect(approve).to_be_visible()
    owner.cut()
    hold(page, approve)
    expect(page.get_by_text(APPROVED)).to_be_visible()
    page.evaluate(LIGHTER)
    return {
        "script": page.evaluate(SCRIPT),
        "address": page.evaluate("location.hash"),
        "entries": [one.id for one in own_entries(page)],
        "lines": len(page.evaluate(ROWS)),
    }


if __name__ == "__main__":
    main(make, OWNERS, *sys.argv[1:])
