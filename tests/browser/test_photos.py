"""Photos across jobs: gone through by keys, two beside each other, printed, taken away."""

from __future__ import annotations

import itertools
import zipfile
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

import bags
from bags import BagWorkshop, unpacked
from browser.app import enrol, violations
from browser.chromium import DESK
from photos import photo
from served import served
from twoturns.bag import layout
from twoturns.demo.scripted_phone import Photo
from twoturns.ledger import canonical
from twoturns.ledger.roster import invitation_text
from twoturns.store.invite import invite

pytestmark = [pytest.mark.browser, pytest.mark.slow(12)]

PLATES = ("WEIR 1", "WEIR 2", "WEIR 3")


@pytest.fixture
def workshop(tmp_path, monkeypatch) -> BagWorkshop:
    """Three jobs with a photo each; no two are alike."""
    widths = itertools.count(1200, 40)
    monkeypatch.setattr(
        bags, "located_photo", lambda *_: Photo(photo(wide := next(widths), 900), wide, 900)
    )
    shop = BagWorkshop(tmp_path / "data")
    mechanic = shop.phone("mechanic", "Ada Weir")
    for plate in PLATES:
        shop.job(mechanic, plate).run(mechanic)
        shop.deliver(mechanic)
    return shop


@pytest.fixture
def owner(workshop, browser):
    until, now = datetime.now(UTC) + timedelta(hours=1), datetime.now(UTC)
    person = workshop.enrol("owner").person
    invited = invite(workshop.store, role="owner", person=person, until=until, now=now)
    link = invitation_text(invited)
    with served(workshop.folder) as port:
        context = browser.new_context(**DESK)
        page = context.new_page()
        page.add_init_script("window.print = () => { document.documentElement.lang = 'printed' }")
        seen = violations(page)
        enrol(page, f"http://localhost:{port}", f"http://localhost:{port}/#invite={link}")
        page.get_by_role("link", name="Photos").click()
        expect(page.locator(".contact-cell")).to_have_count(3)
        yield page
        context.close()
        assert seen == []


def plate_of(page: Page, nth: int) -> str:
    return page.locator(".contact-cell b").nth(nth).inner_text()


def test_photos_across_jobs_are_gone_through_compared_printed_and_taken_away(owner, workshop):
    assert [plate_of(owner, nth) for nth in range(3)] == [*reversed(PLATES)]
    owner.get_by_role("button", name="WEIR 3").click()
    dialog = owner.get_by_role("dialog")
    place = dialog.locator(".photo-keys").get_by_role("status")
    expect(place).to_contain_text("Photo 1 of 3.")
    owner.keyboard.press("ArrowRight")
    expect(place).to_contain_text("Photo 2 of 3.")
    dialog.get_by_role("button", name="Keep beside").click()
    owner.keyboard.press("ArrowRight")
    expect(place).to_contain_text("Photo 3 of 3, beside photo 2.")
    expect(dialog.get_by_role("img")).to_have_count(2)
    expect(dialog.get_by_text("It proves that this device signed this very picture")).to_have_count(
        2
    )

    # It is shown no longer, once the erasing that is carried out has been heard of.
    erased = dialog.locator(".hash").last.inner_text()
    order = {"blobs": [erased], "reason": "asked for", "basis": "law"}
    _, said = workshop.store.ledger.state("erasure.ordered", order, datetime.now(UTC))
    hastened = {"order": said.id, "because": "now"}
    workshop.store.ledger.state("erasure.hastened", hastened, datetime.now(UTC))
    workshop.store.erasing.carry_out_orders(datetime.now(UTC))
    told = dialog.get_by_text("Reason: asked for")
    while not told.is_visible():  # a round that had begun before may not bring it
        owner.evaluate("dispatchEvent(new Event('online'))")
        owner.wait_for_timeout(500)
    expect(dialog.get_by_role("img")).to_have_count(1)
    owner.keyboard.press("Escape")

    owner.get_by_role("button", name="Print the sheet").click()
    expect(owner.locator("html")).to_have_attribute("lang", "printed")
    expect(owner.locator(".contact-cell img")).to_have_count(2)
    expect(owner.locator(".contact-cell").last).to_contain_text("erased")

    owner.get_by_label("Take it along").first.check()
    with owner.expect_download() as download:
        owner.get_by_role("button", name="Take 1 photo of 1 job").click()
    with zipfile.ZipFile(download.value.path()) as file:
        (name,) = [one for one in file.namelist() if one.endswith(".zip")]
        said = canonical.loads(unpacked(file.read(name))[layout.DISCLOSURE])
    assert [one["state"] for one in said if one["state"] != "withheld"] == ["disclosed"]

    owner.get_by_label("Take it along").nth(1).check()
    owner.get_by_role("button", name="Compare the two that are marked").click()
    expect(place).to_contain_text("Photo 2 of 2, beside photo 1.")
    expect(dialog.get_by_role("img")).to_have_count(2)
