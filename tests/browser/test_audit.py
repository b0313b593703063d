"""The auditor: finds a job by its VIN, looks at a photo full size, takes the evidence away."""

from __future__ import annotations

import hashlib
import io
import json
import re

import pytest
from PIL import Image
from playwright.sync_api import expect

from browser.app import joined
from browser.chromium import DESK
from browser.film import is_one_of, views
from browser.mechanic import VIN
from twoturns.store import Store

pytestmark = [pytest.mark.browser, pytest.mark.slow(13)]


@pytest.fixture
def auditor(browser, done_job):
    """The auditor's browser, with the job open that its VIN leads to."""
    with joined(browser, DESK, done_job.workshop, "auditor", "Cora Weir") as page:
        page.get_by_label("VIN", exact=True).last.fill(VIN)
        page.get_by_role("button", name="Find", exact=True).click()
        page.get_by_role("button", name="WEIR 12").click()
        expect(page.get_by_role("heading", name="Step by step")).to_be_visible()
        yield page


def test_a_photo_is_seen_as_it_was_taken(auditor, done_job):
    store = Store(done_job.workshop.data)
    (taken,) = (
        record.entry.body
        for _, record, _ in store.ledger.job_entries(done_job.job)
        if record.entry.kind == "photo.taken" and record.entry.body["name"] == "whole_drive"
    )
    data = store.blobs.path(taken["blob"]).read_bytes()
    auditor.get_by_role("button", name="the whole drive").first.click()
    photo = auditor.get_by_role("dialog").get_by_role("img")
    expect(photo).to_be_visible()
    size = photo.evaluate(
        "async (image) => { await image.decode();"
        " return [image.naturalWidth, image.naturalHeight] }"
    )
    assert tuple(size) == Image.open(io.BytesIO(data)).size == (taken["width"], taken["height"])
    assert hashlib.sha256(data).hexdigest() == taken["blob"]
    expect(auditor.get_by_role("dialog")).to_contain_text(taken["blob"])
    dialog = auditor.get_by_role("dialog")
    expect(dialog).to_contain_text("compared here with the signed hash: the same")
    expect(dialog).to_contain_text("It proves that this device signed this very picture")
    expect(dialog).to_contain_text("by the workshop’s clock")
    assert is_one_of(data, views())
    # The stage has the focus: a pixel of the photo is a pixel of the screen.
    auditor.keyboard.press("1")
    for side in ("width", "height"):
        expect(photo).to_have_js_property(side, taken[side])
    with auditor.expect_download() as download:
        dialog.get_by_role("button", name="Save the original").click()
    assert hashlib.sha256(download.value.path().read_bytes()).hexdigest() == taken["blob"]


def test_the_mechanic_finds_the_job_closed_also_where_it_was_closed(done_job):
    phone = done_job.mechanic.page
    for screen in ("/close", ""):
        phone.evaluate("hash => { location.hash = hash }", f"#/bay/job/{done_job.job}{screen}")
        expect(phone.get_by_role("button", name="All jobs")).to_be_visible()
        expect(phone.get_by_role("heading", name="Closed: Finished")).to_be_visible()


def test_the_bag_that_is_taken_away_is_accepted_elsewhere(auditor, done_job, tmp_path):
    auditor.get_by_label("VIN and plate").check()
    expect(auditor.get_by_label("originals")).to_be_checked()  # of a copy nothing is proven
    with auditor.expect_download() as download:
        auditor.get_by_role("button", name="Take the bag away").click()
    bag = tmp_path / download.value.suggested_filename
    download.value.save_as(bag)
    assert re.fullmatch(r"WEIR-12_\d{4}-\d\d-\d\d\.zip", bag.name)
    fingerprint = Store(done_job.workshop.data).ledger.workshop
    said = json.loads(done_job.workshop.run("verify", str(bag), "--key", fingerprint, "--json"))
    assert (said["holds"], said["findings"]) == (True, [])
    assert "5 of 5 steps hold" in said["state"]


@pytest.fixture
def whole_drive(done_job):
    """
    The photo of the whole drive on the workshop's disk; it is put back at the end.

    The phone that took it has no line: it would hear what is wanted back, and send it again.
    """
    done_job.mechanic.page.context.set_offline(True)
    store = Store(done_job.workshop.data)
    (blob,) = (
        record.entry.body["blob"]
        for _, record, _ in store.ledger.job_entries(done_job.job)
        if record.entry.kind == "photo.taken" and record.entry.body["name"] == "whole_drive"
    )
    path = store.blobs.path(blob)
    data = path.read_bytes()
    yield path
    path.write_bytes(data)
    store.blobs.check(blob)
    store.checks.settle(blob)
    done_job.mechanic.page.context.set_offline(False)


def test_a_photo_swapped_on_the_disk_is_an_alarm_by_name_and_not_shown(auditor, whole_drive):
    swapped = io.BytesIO()
    Image.new("RGB", (640, 480), "red").save(swapped, "JPEG")
    whole_drive.write_bytes(swapped.getvalue())
    auditor.get_by_role("button", name="the whole drive").first.click()
    dialog = auditor.get_by_role("dialog")
    told = dialog.get_by_role("alert").filter(has_text="altered or is missing on the workshop")
    expect(told).to_be_visible()
    expect(dialog).to_contain_text("they prove nothing, and are not shown")
    expect(dialog.get_by_role("img")).to_have_count(0)
    dialog.get_by_role("button", name="Close").click()
    auditor.reload()
    alarm = auditor.get_by_role("alert").filter(has_text="was altered on the workshop")
    expect(alarm).to_contain_text("the whole drive")
    expect(alarm).to_contain_text("of step")
    auditor.get_by_role("button", name="Take the bag away").click()
    expect(auditor.get_by_text("was altered on the workshop's disk")).to_be_visible()
    auditor.get_by_role("link", name="Trace").click()
    # Both words in one: while the page before still stands, two alarms are there.
    on_trace = auditor.get_by_role("alert").filter(has_text="was altered")
    expect(on_trace.filter(has_text="WEIR 12")).to_be_visible()


def test_without_a_line_nothing_is_said_of_the_photo_itself(auditor, whole_drive):
    auditor.context.set_offline(True)
    auditor.get_by_role("button", name="the whole drive").first.click()
    said = auditor.get_by_role("dialog")
    expect(said).to_contain_text("There is no line to the workshop")
    expect(said).not_to_contain_text("erased")
    auditor.context.set_offline(False)


def test_a_sample_is_frozen_drawn_by_a_word_and_drawn_again_elsewhere(auditor, done_job, tmp_path):
    auditor.get_by_role("link", name="Jobs", exact=True).click()
    expect(auditor.get_by_text("1 job, the newest first.")).to_be_visible()
    auditor.get_by_role("button", name="Freeze this list").click()
    expect(auditor.get_by_role("heading", name="A list of 1 job")).to_be_visible()
    auditor.get_by_label("Your word").fill("heron")
    auditor.get_by_role("button", name="Draw", exact=True).click()
    expect(auditor.get_by_role("heading", name="1 job drawn")).to_be_visible()
    with auditor.expect_download() as download:
        auditor.get_by_role("button", name="Take the bag away").click()
    file = tmp_path / "sample.zip"
    download.value.save_as(file)
    fingerprint = Store(done_job.workshop.data).ledger.workshop
    said = json.loads(done_job.workshop.run("sample", str(file), "--key", fingerprint, "--json"))
    assert (said["holds"], said["sample"]["jobs"]) == (True, [done_job.job])


def test_a_finding_is_open_until_its_auditor_closes_it(auditor):
    auditor.get_by_role("button", name="Write a finding about this job").click()
    auditor.get_by_label("What you found in this job").fill("No reading of the cold level.")
    auditor.get_by_role("button", name="State it").click()
    auditor.get_by_role("link", name="Findings", exact=True).click()
    expect(auditor.get_by_role("heading", name="1 finding is open")).to_be_visible()
    expect(auditor.get_by_text("No reading of the cold level.")).to_be_visible()
    auditor.get_by_role("button", name="Close it").click()
    auditor.get_by_label("Why it is settled").fill("It was read the day after.")
    auditor.get_by_role("button", name="Close it").click()
    expect(auditor.get_by_role("heading", name="No finding is open")).to_be_visible()
