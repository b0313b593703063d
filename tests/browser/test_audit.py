"""The auditor: finds a job by its VIN, looks at a photo full size, takes the evidence away."""

from __future__ import annotations

import hashlib
import io
import json

import pytest
from PIL import Image
from playwright.sync_api import expect

from browser.app import enrol, violations
from browser.chromium import DESK
from browser.film import is_one_of, views
from browser.mechanic import VIN
from twoturns.store import Store

pytestmark = pytest.mark.browser


@pytest.fixture
def auditor(browser, done_job):
    """The auditor's browser, with the job open that its VIN leads to."""
    context = browser.new_context(**DESK)
    page = context.new_page()
    seen = violations(page)
    enrol(page, done_job.workshop.address, done_job.workshop.invite("auditor", "Cora Weir"))
    page.get_by_label("VIN", exact=True).last.fill(VIN)
    page.get_by_role("button", name="Find", exact=True).click()
    page.get_by_role("button", name="WEIR 12").click()
    expect(page.get_by_role("heading", name="Step by step")).to_be_visible()
    yield page
    context.close()
    assert seen == []


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
    expect(auditor.get_by_role("dialog")).to_contain_text("compared with the signed hash")
    assert is_one_of(data, views())


def test_the_bag_that_is_taken_away_is_accepted_elsewhere(auditor, done_job, tmp_path):
    auditor.get_by_label("VIN and plate").check()
    auditor.get_by_label("photos as they were taken").check()
    with auditor.expect_download() as download:
        auditor.get_by_role("button", name="Take the bag away").click()
    bag = tmp_path / download.value.suggested_filename
    download.value.save_as(bag)
    assert bag.name == f"{done_job.job}.zip"
    fingerprint = Store(done_job.workshop.data).ledger.workshop
    said = json.loads(done_job.workshop.run("verify", str(bag), "--key", fingerprint, "--json"))
    assert (said["holds"], said["findings"]) == (True, [])
    assert "5 of 5 steps hold" in said["state"]
