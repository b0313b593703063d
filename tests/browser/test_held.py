"""What a revoked device still sent: the owner is told, looks at it, accepts, refuses, shuts out."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.app import enrol, joined, violations
from browser.chromium import DESK, PHONE
from browser.serving import PATIENCE_S
from twoturns.ledger.record import parse
from twoturns.store import Store
from workshop import Workshop, opening, private_value, ref, tiny_bundle, uuid7

pytestmark = pytest.mark.browser


def test_an_owner_rules_on_what_a_revoked_device_sent(browser, tiny_workshop):
    made = Workshop.__new__(Workshop)
    made.store, made.now = Store(tiny_workshop.data), datetime.now(UTC)
    made.store.ledger.state("backup.made", {"size": 0}, made.now)
    lost = made.enrol("mechanic")
    vin, plate = private_value("vin", "TT1"), private_value("plate", "WEIR 77")
    bad, words = private_value("plate", "BAD 1"), private_value("words", "The idler was noisy.")
    bundle, job, invented = tiny_bundle().sha256, uuid7(), uuid7()
    said = lost.write("job.opened", opening(vin, plate, bundle=bundle), job)
    made.push(said, blobs=(vin, plate))
    revoked = {"device": lost.id, "because": "lost on the way"}
    made.store.ledger.state("device.revoked", revoked, made.now)
    late = lost.write("note.added", {"text": ref(words)}, job)
    fake = lost.write("job.opened", opening(vin, bad, bundle=bundle), invented)
    made.push(late, fake, blobs=(words, bad))

    context = browser.new_context(**DESK)
    page = context.new_page()
    seen = violations(page)
    enrol(page, tiny_workshop.address, tiny_workshop.invite("owner", "Bela Weir"))
    page.get_by_role("link", name="2 entries of a revoked device held back for your word").click()
    expect(page.get_by_text("The idler was noisy.")).to_be_visible()
    expect(page.get_by_text("A job that nobody has seen: BAD 1")).to_be_visible()
    shown(page, "held")
    page.get_by_role("button", name="Accept 1 entry").first.click()
    page.get_by_role("button", name="Accept it").click()
    expect(page.get_by_text("Write why")).to_be_visible()
    page.get_by_label("Why").fill("Looked through with Ada.")
    shown(page, "held-accept")
    page.get_by_role("button", name="Accept it").click()
    expect(page.get_by_text("The idler was noisy.")).to_have_count(0)
    page.get_by_role("button", name="Shut it out for good").click()
    page.get_by_label("Why").fill("Stolen.")
    page.get_by_role("button", name="Shut it out", exact=True).click()
    expect(page.get_by_text("It is shut out: nothing more is taken from it.")).to_be_visible()
    page.get_by_role("button", name="Refuse 1 entry").click()
    page.get_by_label("Why").fill("Nobody of us wrote it.")
    page.get_by_role("button", name="Refuse it").click()
    expect(page.get_by_role("heading", name="Nothing is held back")).to_be_visible()
    deadline = time.monotonic() + PATIENCE_S
    while made.store.views.held(lost.id) or not made.store.views.device(lost.id).is_shut:
        assert time.monotonic() < deadline
        time.sleep(0.2)
    shows = [record.entry.id for _, record, _ in made.store.ledger.job_entries(job)]
    assert late.id in shows
    assert made.store.ledger.job_entries(invented) == []
    page.get_by_role("link", name="People").click()
    expect(page.get_by_text("Shut out: lost on the way")).to_be_visible()
    shown(page, "held-people")
    context.close()
    assert seen == []


def shown(page, name: str) -> None:
    """Keep a picture, for whoever asks with PICTURES=FOLDER."""
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def test_an_owner_admits_a_person_and_the_phone_offers_that_name_alone(browser, tiny_workshop):
    phone_context = browser.new_context(**PHONE)
    phone = phone_context.new_page()
    enrol(phone, tiny_workshop.address, tiny_workshop.invite("mechanic", "Perrin Holm"))
    phone.get_by_role("button", name="this phone", exact=True).click()
    expect(phone.get_by_role("heading", name="This phone")).to_be_visible()
    expect(phone.get_by_role("list", name="Who works")).to_have_count(0)

    context = browser.new_context(**DESK)
    page = context.new_page()
    seen = violations(page)
    enrol(page, tiny_workshop.address, tiny_workshop.invite("owner", "Olga Moss"))
    page.get_by_role("link", name="People").click()
    perrin = page.locator(".person", has_text="Perrin Holm")
    perrin.get_by_role("button", name="Admit a person").click()
    perrin.get_by_label("Name").fill("Cleo Lark")
    shown(page, "admit")
    perrin.get_by_role("button", name="Admit", exact=True).click()
    expect(perrin.get_by_text("Also speaks for Cleo Lark")).to_be_visible()

    store = Store(tiny_workshop.data)
    deadline = time.monotonic() + PATIENCE_S
    while not store.database.rows("select 1 from entries where kind = 'device.serves'"):
        assert time.monotonic() < deadline
        time.sleep(0.2)
    phone.reload()
    expect(phone.get_by_role("list", name="Who works")).to_be_visible()
    phone.get_by_role("button", name="Cleo Lark").click()
    expect(phone.get_by_role("button", name="Cleo Lark")).to_have_attribute("aria-pressed", "true")
    expect(phone.get_by_role("button", name="Olga Moss")).to_have_count(0)
    shown(phone, "who-works")
    perrin.get_by_role("button", name="Take off").click()
    expect(perrin.get_by_text("Also speaks for")).to_have_count(0)
    assert seen == []
    context.close()
    phone_context.close()


def test_an_auditor_is_invited_to_days_and_to_vehicles_alone(browser, tiny_workshop):
    with joined(browser, DESK, tiny_workshop, "owner", "Olga Moss") as page:
        page.get_by_role("link", name="People").click()
        page.get_by_label("Name").fill("Cato Moss")
        page.get_by_label("Comes as").select_option("auditor")
        page.get_by_label("Sees jobs that came in from").fill("2026-10-01")
        page.get_by_label("Last day of looking").fill("2026-12-31")
        page.get_by_label("Private values to be read").select_option("VIN and plate")
        shown(page, "scope")
        page.get_by_role("button", name="Make the invitation").click()
        expect(page.get_by_text("It lets one device in, once")).to_be_visible()
    sql = "select record from entries join records using (id) where kind = 'device.invited'"
    records = [parse(row["record"]) for row in Store(tiny_workshop.data).database.rows(sql)]
    (scope,) = [one.entry.body["scope"] for one in records if "scope" in one.entry.body]
    assert scope == {
        "days": ["2026-10-01", "9999-12-31"],
        "values": ["vin", "plate"],
        "end": "2026-12-31T23:59:59.999Z",
    }
