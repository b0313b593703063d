"""What happens to a phone while it works: its clock, its windows, its owner, its camera."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Error, Route, expect

from browser.app import enrol
from browser.chromium import PHONE, WHOLE
from browser.mechanic import Mechanic, hold
from faults.browser.oracle import Oracle, check_all_arrived, own_entries, received
from faults.browser.rig import Rig, everything_goes_out, go_to_the_job, is_closed
from faults.proxy import always, on, passes, refused
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(25)]

YEAR = timedelta(days=365)
PHOTO = "the whole drive"


@pytest.fixture
def page(browser, tiny_workshop, proxy):
    """The first window of a phone that need not survive its browser."""
    context = browser.new_context(**PHONE)
    first = context.new_page()
    first.clock.install()
    enrol(first, proxy.address, tiny_workshop.invite("mechanic", "Ada Weir"))
    expect(first.get_by_text("Everything is in the workshop.")).to_be_visible()
    yield first
    context.close()


def test_a_clock_that_is_years_off_and_runs_back_changes_no_order(page, film, tiny_workshop):
    """The order is by number; the workshop says by how much the clock was off as it received."""
    now = datetime.now(UTC)
    mechanic = Mechanic(page, film=film)
    session = page.context.new_cdp_session(page)
    go_to_the_job(page)
    for step, clock, zone in (
        ("1", now - 3 * YEAR, "Pacific/Kiritimati"),
        ("3", now + 10 * YEAR, "America/St_Johns"),
        ("4", now - timedelta(hours=1), "Europe/Rome"),
    ):
        page.clock.set_system_time(clock)
        session.send("Emulation.setTimezoneOverride", {"timezoneId": zone})
        mechanic.work(until=lambda screen, step=step: screen.step == step)
    mechanic.work(until=is_closed)
    everything_goes_out(page)
    written = own_entries(page)
    years = {one.at[:4] for one in written if one.job}
    assert {str((now - 3 * YEAR).year), str((now + 10 * YEAR).year), str(now.year)} <= years
    assert [one.at for one in written] != sorted(one.at for one in written)
    check_all_arrived(Store(tiny_workshop.data), written)
    job = written[-1].job
    assert job is not None
    offsets = [
        abs(int(record.offset_ms or 0))
        for _, record, _ in Store(tiny_workshop.data).ledger.job_entries(job)
        if record.entry.device == written[0].device
    ]
    assert max(offsets) > YEAR / timedelta(milliseconds=1)


def test_a_second_window_only_shows_and_takes_over_when_the_first_is_closed(
    page, film, tiny_workshop, proxy
):
    go_to_the_job(page)
    Mechanic(page, film=film).work(until=lambda screen: screen.step == "2")
    before = own_entries(page)
    other = page.context.new_page()
    other.clock.install()
    other.goto(f"{proxy.address}/{page.evaluate('location.hash')}")
    expect(other.get_by_text("Two Turns is open in another window")).to_be_visible()
    hold(other, other.locator(".deck .key-main"))
    expect(
        other.get_by_text("Two Turns is open twice, and only the first may write.")
    ).to_be_visible()
    assert own_entries(other) == before
    page.close()
    expect(other.get_by_text("Two Turns is open in another window")).to_have_count(0)
    Mechanic(other, film=film).work(until=is_closed)
    everything_goes_out(other)
    check_all_arrived(Store(tiny_workshop.data), own_entries(other))


def test_a_newer_app_in_another_window_gets_the_storage_and_the_older_says_so(page):
    other = page.context.new_page()
    other.goto(f"{page.url.split('#')[0]}api/workshop")  # a page of the origin without the app
    other.evaluate(
        """() => new Promise((resolve, reject) => {
          const opening = indexedDB.open('two-turns', 1000)
          opening.onsuccess = () => resolve(opening.result.close())
          opening.onerror = () => reject(opening.error)
        })"""
    )
    expect(page.get_by_text("A newer Two Turns is open in another window.")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="was written by a newer Two Turns")).to_be_visible()
    with page.expect_download() as download:
        page.get_by_role("button", name="Write everything to a file").click()
    assert download.value.path().stat().st_size > 0


def test_a_phone_enrolled_anew_sends_what_it_wrote_before(page, film, tiny_workshop, proxy):
    proxy.plan = on(refused, "POST", "/api/entries")
    go_to_the_job(page)
    Mechanic(page, film=film).work(until=lambda screen: screen.step == "2")
    job = page.evaluate("location.hash")
    before = own_entries(page)
    invitation = tiny_workshop.invite("mechanic", "Bo Lind").split("#")[1]
    page.goto(f"{proxy.address}/?again#{invitation}")
    expect(page.get_by_text("This phone already belongs to")).to_be_visible()
    page.get_by_role("button", name="It is the same: join this workshop").click()
    expect(page.get_by_role("heading", name="Compare with the paper")).to_be_hidden()
    proxy.plan = always(passes)
    page.goto(f"{proxy.address}/{job}")
    Mechanic(page, film=film).work(until=is_closed)
    everything_goes_out(page)
    written = own_entries(page)
    assert {one.id for one in before} < {one.id for one in written}
    ids = [one.id for one in received(Store(tiny_workshop.data))]
    assert sorted(ids) == sorted(set(ids))
    assert {one.id for one in written} <= set(ids)
    assert len({one.device for one in written}) == 2


def test_a_name_that_comes_in_leaves_the_key_that_stands_as_it_is(
    page, browser, film, tiny_workshop
):
    """A title that changed with it was a new screen: it took the focus, and the hold."""
    go_to_the_job(page)
    Mechanic(page, film=film).work(until=lambda screen: screen.step == "2")
    everything_goes_out(page)
    context = browser.new_context(**PHONE)
    other = context.new_page()
    names: list[Route] = []
    other.route("**/api/blobs/*", lambda route: names.append(route))
    enrol(other, tiny_workshop.address, tiny_workshop.invite("mechanic", "Bo Lind"))
    other.evaluate("(job) => { location.hash = job }", page.evaluate("location.hash"))
    title = other.get_by_role("heading", name="Somebody else worked on this job last")
    expect(title).to_be_focused()
    key = other.get_by_role("button", name="I go on with it")
    key.evaluate("(key) => { key.dataset.stands = 'yes' }")
    key.focus()
    for name in names:
        name.continue_()
    expect(other.get_by_text("Ada Weir wrote the last thing in it")).to_be_visible()
    expect(key).to_be_focused()
    expect(key).to_have_attribute("data-stands", "yes")
    expect(title).to_be_visible()
    context.close()


def test_a_page_that_dies_behind_the_camera_comes_back_to_the_same_photo(rig: Rig):
    """The phone's own camera is open, and the system ends the page to make room for it."""
    rig.phone.build = WHOLE  # it is the one that refuses a camera
    with rig.phone.opened() as opened:
        page, oracle = opened.page, Oracle()
        camera = {
            "permission": {"name": "camera"},
            "setting": "denied",
            "origin": rig.proxy.address,
        }
        opened.context.new_cdp_session(page).send("Browser.setPermission", camera)
        rig.cut()
        page.goto(rig.proxy.address)
        go_to_the_job(page)
        rig.mechanic(page).work(until=lambda screen: screen.kind == "file")
        before = oracle.check_phone(page)
        with page.expect_file_chooser():
            page.get_by_label("Choose a photo").click()
        # Its own process alone: a browser whose spare ones are killed too may open no other page.
        with page.expect_event("crash"), suppress(Error):
            page.goto("chrome://crash")
        again = opened.context.new_page()
        again.goto(rig.proxy.address)
        expect(again.get_by_role("heading", name=PHOTO)).to_be_visible()
        expect(again.get_by_text("Choose a photo", exact=True)).to_be_visible()
        assert oracle.check_phone(again) == before
        rig.phone.kill(again)  # a dead page is not asked to close
