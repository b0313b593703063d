"""
The whole job on a phone without a line: all 46 steps, a failed check, a killed browser.

Twice the line is cut: once the browser knows it, once the server is dead and the browser believes
itself on line. What the screen says of where the work is must never be more than is so; what the
workshop holds in the end must be what the phone signed, once each, and every photo whole.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from pathlib import Path

import bagit
import pytest
from playwright.sync_api import Page, expect

from browser.app import enrol
from browser.film import Film, is_one_of, photo_file, views
from browser.mechanic import Mechanic, Screen, comes_to
from browser.phone import Phone, PhonePage
from browser.serving import ROOT, ServedWorkshop
from twoturns.ledger.record import Record, parse
from twoturns.store import Store
from twoturns.store.desk import desk

pytestmark = [pytest.mark.browser, pytest.mark.slow(45)]

PINS_DO_NOT_GO = "Pin L2 stands half a tooth or more off its place."


def test_a_whole_job_without_a_line_reaches_the_workshop_whole(
    playwright, film, workshop, tmp_path
):
    workshop.run("procedure", "publish", str(ROOT / "demo_jobs" / "van-timing-drive"), data=True)
    phone = Phone(playwright, tmp_path / "profile", film)
    with phone.opened() as first:
        enrol(first.page, workshop.address, workshop.invite("mechanic", "Ada Weir"))
        expect(first.page.get_by_text("Everything is in the workshop.")).to_be_visible()
        before = work_until_the_browser_is_killed(first, workshop, phone)
    picked = tmp_path / "picked.jpg"
    with phone.opened() as again:
        job, held = go_on_to_the_end(again, workshop, before, film, photo_file("coffee", picked))
        assert again.faults == []
    store = Store(workshop.data)
    assert_every_entry_is_there_once(store, held)
    assert_every_photo_is_whole(store, job, held, picked)
    ((_, line),) = desk(store, "")
    assert (line["job"], line["state"], line["done"], line["steps"]) == (job, "closed", 46, 46)
    assert_the_bag_is_accepted(workshop, job, tmp_path)


# On the phone ------------------------------------------------------------------------------


def work_until_the_browser_is_killed(phone: PhonePage, workshop, profile: Phone) -> dict:
    """Open the job without a line and work to the middle of step 25, then kill the browser."""
    page = phone.page
    mechanic = Mechanic(page, film=profile.film)
    watch_widths(mechanic, phone.faults)
    phone.context.set_offline(True)
    assert not phone.is_online()
    page.reload()
    page.get_by_role("button", name="Open a job").click()
    a_wrong_number_is_refused(page)
    mechanic.work(until=at_step("5"))
    assert_all_is_only_on_this_phone(phone)
    workshop.kill()
    phone.context.set_offline(False)
    assert phone.is_online()  # and yet there is nobody at the other end
    mechanic.work(until=lambda screen: screen.title == "The lug in its slot")
    expect(page.get_by_label("Camera picture")).to_be_visible()
    assert_all_is_only_on_this_phone(phone)
    mechanic.work(until=lambda screen: screen.title == "The lug in its slot")
    assert phone.faults == []
    held = phone.held()
    profile.kill(page)
    return held


def go_on_to_the_end(
    phone: PhonePage, workshop, before: dict, film: Film, picked: Path
) -> tuple[str, dict]:
    """Go on at the same photo with nothing lost, fail a check, redo, close; then all goes out."""
    page = phone.page
    mechanic = Mechanic(page, film=film, file=lambda _: picked)
    watch_widths(mechanic, phone.faults)
    page.goto(workshop.address)
    expect(page.get_by_role("heading", name="The lug in its slot")).to_be_visible()
    assert phone.held() == before
    mechanic.work(until=at_step("32"))
    redo_what_a_failed_check_breaks(mechanic)
    mechanic.work(until=at_step("39"))
    mechanic.film = None
    with film.nothing():
        mechanic.work(until=at_step("40"))
    mechanic.film = film
    mechanic.work(until=lambda screen: screen.title == "Closed: Finished and handed over")
    job = mechanic.read().address.split("/")[3]
    assert_all_is_only_on_this_phone(phone)
    held = phone.held()
    workshop.start()
    everything_goes_out_by_itself(phone, workshop)
    return job, held


def a_wrong_number_is_refused(page: Page) -> None:
    page.get_by_role("button", name="Type it").click()
    number = page.get_by_role("textbox")
    number.fill("Z" * 40)
    expect(page.get_by_role("alert")).to_contain_text("has 40 characters, expected 17")
    expect(page.get_by_role("button", name="Look again")).to_have_attribute("aria-disabled", "true")
    number.fill("")


def redo_what_a_failed_check_breaks(mechanic: Mechanic) -> None:
    """Two turns, and pin L2 does not go in: what the phone then shows is done, in its order."""
    page = mechanic.page
    page.get_by_role("button", name="it is not like that").click()
    mechanic.rows["What is it like?"] = PINS_DO_NOT_GO
    mechanic.work(until=lambda screen: screen.address.endswith("/redo"))
    expect(page.get_by_role("heading", name=PINS_DO_NOT_GO)).to_be_visible()
    shown = page.get_by_text("seals still hold").inner_text()
    first = page.locator("ol.ways li").first.inner_text()
    assert "Look at pin L1" in first
    done: list[str] = []
    usual = mechanic.watch
    mechanic.watch = lambda screen: (usual(screen), done.append(screen.step))
    mechanic.work(until=at_step("33"))
    mechanic.watch = usual
    again = [step for step in dict.fromkeys(done) if step]
    assert again == ["32", *numbers_in(shown)] or again == numbers_in(shown)


def numbers_in(words: str) -> list[str]:
    """'Then paint 23 and 25 to 32 again' -> 23, 25, 26, ... 32."""
    found: list[str] = []
    for first, last in re.findall(r"(\d+)(?: to (\d+))?", words):
        found += [str(number) for number in range(int(first), int(last or first) + 1)]
    return found


def at_step(number: str):
    """A step's own screen, not one of what it asks for."""
    return lambda screen: screen.step == number and screen.address.count("/") == 3


def watch_widths(mechanic: Mechanic, into: list[str]) -> None:
    """Note each screen that is wider than the phone: its keys would move under the thumb."""
    # Not innerWidth: a phone zooms out until all of it fits, and that grows as well.
    is_wider = "document.documentElement.scrollWidth > document.documentElement.clientWidth"

    def look(screen: Screen) -> None:
        if mechanic.page.evaluate(is_wider):
            into.append(f"{screen.step} {screen.title}")

    mechanic.watch = look


# What the screen claims ----------------------------------------------------------------------


def assert_all_is_only_on_this_phone(phone: PhonePage) -> None:
    """Head band and count say that no entry of the job has left the phone, and none has."""
    page = phone.page
    held = phone.held()
    waiting = [entry for entry in held["entries"] if entry["waits"]]
    assert {entry["kind"] for entry in held["entries"] if not entry["waits"]} == {"device.enrolled"}
    head = page.locator(".head-place")
    expect(head).to_have_text(f"{len(waiting)} on this phone")
    page.locator(".head").click()
    page.get_by_role("button", name="Where it all is").click()
    expect(
        page.get_by_role("heading", name=f"{len(waiting)} are only on this phone")
    ).to_be_visible()
    expect(page.get_by_text("0 in the workshop")).to_have_count(1)
    expect(page.get_by_text("0 backed up")).to_have_count(1)
    photos = re.compile(rf"^{len(held['photos'])} photos?, .* waits? as well")
    expect(page.get_by_text(photos)).to_be_visible()
    page.get_by_role("button", name="back").click()
    page.locator(".deck .key-main").click()  # on with the work, or to how it ended


def everything_goes_out_by_itself(phone: PhonePage, workshop: ServedWorkshop) -> None:
    """Nothing is pressed: the head band says so once it is so, and 'backed up' only after one."""
    page = phone.page
    comes_to(page)
    page.locator(".head").click()
    page.get_by_role("button", name="Where it all is").click()
    expect(page.get_by_role("heading", name="All are in the workshop")).to_be_visible()
    expect(page.get_by_text("No photo waits.")).to_be_visible()
    assert [entry for entry in phone.held()["entries"] if entry["waits"]] == []
    workshop.run("backup", str(workshop.folder / "backup"), data=True)
    page.clock.fast_forward(2 * 60_000)
    expect(page.get_by_role("heading", name="All are backed up")).to_be_visible()


# On the server's disk ------------------------------------------------------------------------


def records_of(store: Store) -> list[Record]:
    page = store.pages.page(0, limit=100_000)
    assert not page.more
    return [parse(text) for _, text in page.records]


def assert_every_entry_is_there_once(store: Store, held: dict) -> None:
    ids = [record.entry.id for record in records_of(store)]
    assert len(ids) == len(set(ids))
    mine = {entry["id"] for entry in held["entries"]}
    device = next(one.entry.device for one in records_of(store) if one.entry.kind == "job.opened")
    assert {one.entry.id for one in records_of(store) if one.entry.device == device} == mine


def assert_every_photo_is_whole(store: Store, job: str, held: dict, picked: Path) -> None:
    """Signed hash, phone's bytes and file on the disk are one; and it is the picture."""
    taken = [
        record.entry.body
        for _, record, _ in store.ledger.job_entries(job)
        if record.entry.kind == "photo.taken"
    ]
    assert {body["blob"] for body in taken} == set(held["photos"])
    for name, sha256 in held["photos"].items():
        data = store.blobs.path(name).read_bytes()
        assert hashlib.sha256(data).hexdigest() == name == sha256
    of_file = hashlib.sha256(picked.read_bytes()).hexdigest()
    assert {body["blob"] for body in taken if body["how"] == "picked"} == {of_file}
    seen = views()
    live = [body["blob"] for body in taken if body["how"] == "live"]
    assert len(set(live)) == len(live) > 12
    assert all(is_one_of(store.blobs.path(blob).read_bytes(), seen) for blob in live)


def assert_the_bag_is_accepted(workshop: ServedWorkshop, job: str, folder: Path) -> None:
    bag = folder / "job.zip"
    workshop.run("export", job, "--out", str(bag), "--originals", data=True)
    said = json.loads(workshop.run("verify", str(bag), "--json"))
    assert (said["holds"], said["findings"]) == (True, [])
    assert "46 of 46 steps hold" in said["state"]
    unpacked = unpack(bag, folder / "bag")
    bagit.Bag(str(unpacked)).validate()


def unpack(bag: Path, into: Path) -> Path:

    with zipfile.ZipFile(bag) as archive:
        archive.extractall(into)
    (root,) = into.iterdir() if not (into / "bagit.txt").exists() else (into,)
    return root
