"""What leaves with a bag and what stays: values, positions of photos, erased and missing blobs."""

import io

import pytest
from PIL import Image

from bags import BagWorkshop, located_photo, unpacked
from twoturns.bag import layout, picture
from twoturns.bag.verify import verify
from twoturns.demo.scripted_phone import Photo
from twoturns.ledger import canonical, private
from twoturns.store.succession import rotate
from workshop import tiny_bundle

SECRETS = (b"TT000000000000001", b"WEIR 12", b"Ottoline", b"Ada Weir", b"M40 130", b"nut seized")


@pytest.fixture
def workshop(tmp_path):
    return BagWorkshop(tmp_path / "data")


@pytest.fixture
def mechanic(workshop):
    return workshop.phone("mechanic", "Ada Weir")


@pytest.fixture
def job(workshop, mechanic):
    work = workshop.job(mechanic)
    work.run(mechanic, until="belt_off")
    work.fail(mechanic, "belt_off", "nut_seized", words="nut seized, soaked it")
    work.write(mechanic, "condition.seen", {"condition": "belt", "value": "old"})
    work.run(mechanic)
    workshop.deliver(mechanic)
    return work


def verdict_of(bag):
    return verify(io.BytesIO(bag))


def states(files):
    return {one["blob"]: one["state"] for one in canonical.loads(files[layout.DISCLOSURE])}


def test_without_asking_no_private_value_is_anywhere_in_the_bag(workshop, job):
    bag = workshop.bag(job, groups=(), originals=False)
    assert verdict_of(bag).findings == ()
    for name, data in unpacked(bag).items():
        for secret in SECRETS:
            assert secret not in data, (name, secret)
    assert set(states(unpacked(bag)).values()) == {"withheld", "copy"}
    report = unpacked(bag)[layout.REPORT].decode()
    assert "<dt>VIN</dt><dd>[withheld]</dd>" in report


def test_what_is_asked_for_leaves_and_nothing_else(workshop, job):
    files = unpacked(workshop.bag(job, groups=("vin",), originals=False))
    shown = [private.read(data) for name, data in files.items() if name.startswith("data/blobs/")]
    assert sorted(one.field for one in shown) == ["plate", "vin"]
    assert b"WEIR 12" in files[layout.REPORT]
    assert b"Ottoline" not in files[layout.REPORT]


def test_text_of_people_is_escaped_in_the_report(workshop, job):
    report = unpacked(workshop.bag(job))[layout.REPORT].decode()
    assert "Ottoline &lt;b&gt;Marsh&lt;/b&gt;" in report
    assert "<b>Marsh" not in report
    assert "<script" not in report


def test_a_copy_says_nothing_of_the_place_and_that_it_is_none(workshop, job):
    bag = workshop.bag(job, originals=False)
    copies = {n: d for n, d in unpacked(bag).items() if n.startswith(layout.COPIES)}
    assert copies
    for name, data in copies.items():
        original = workshop.store.blobs.read(layout.blob_of(name))
        with Image.open(io.BytesIO(data)) as copy, Image.open(io.BytesIO(original)) as whole:
            assert copy.tobytes() == whole.tobytes()  # dropped beside them, not encoded anew
        with Image.open(io.BytesIO(data)) as image:
            # Nothing but the way to turn it (Exif 2.32, tag 0x0112).
            assert set(image.getexif()) <= {0x0112}
            assert not image.getexif().get_ifd(0x8825)
    assert b"a copy without position, not proven" in unpacked(bag)[layout.REPORT]
    assert any("a copy without position" in said for said in verdict_of(bag).unproven)


@pytest.mark.parametrize("originals", [False, True])
@pytest.mark.parametrize("data", [b"<!DOCTYPE html>", b"<svg xmlns=''/>", b"GIF89a/**/"])
def test_what_is_no_photo_is_withheld_under_the_name_of_one(workshop, mechanic, data, originals):
    work = workshop.job(mechanic)
    work.picture = lambda step, name: Photo(data, 0, 0)
    work.run(mechanic)
    workshop.deliver(mechanic)
    bag = workshop.bag(work, originals=originals)
    assert verdict_of(bag).findings == ()
    assert data not in bag
    assert "its bytes are no photo of any kind" in unpacked(bag)[layout.DISCLOSURE].decode()


def test_an_original_keeps_every_byte(workshop, job):
    files = unpacked(workshop.bag(job, originals=True))
    photos = {n: d for n, d in files.items() if n.startswith("data/photos/")}
    assert photos
    for name, data in photos.items():
        assert layout.sha256(data) == layout.blob_of(name)
        with Image.open(io.BytesIO(data)) as image:
            assert image.getexif().get_ifd(0x8825)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_copy_stands_upright_for_every_exif_orientation(orientation):
    # Upright it is red left and blue right; stored as the orientation says (EXIF 2.3, 4.6.4).
    upright = Image.new("RGB", (80, 40), "red")
    upright.paste((0, 0, 255), (40, 0, 80, 40))
    back = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    stored = upright.transpose(back[orientation]) if orientation in back else upright
    exif = Image.Exif()
    exif[0x0112] = orientation
    out = io.BytesIO()
    stored.save(out, "JPEG", quality=95, exif=exif)
    with Image.open(io.BytesIO(picture.copy_at_most(out.getvalue(), picture.COPY_PX))) as copy:
        assert copy.size == (80, 40)
        assert copy.getpixel((10, 20))[0] > 200
        assert copy.getpixel((70, 20))[2] > 200


def test_a_photo_of_which_no_copy_can_be_made_is_withheld_with_the_reason(workshop, mechanic):
    work = workshop.job(mechanic)
    work.picture = lambda step, name: Photo(b"....ftypheic, or so it says", 0, 0)
    work.run(mechanic, until="two_turns")
    workshop.deliver(mechanic)
    bag = workshop.bag(work, originals=False)
    assert verdict_of(bag).findings == ()
    assert b"no copy can be made of it; ask for the originals" in unpacked(bag)[layout.REPORT]
    assert verdict_of(workshop.bag(work, originals=True)).findings == ()


def test_a_photo_that_has_not_come_in_is_absent(workshop, mechanic):
    work = workshop.job(mechanic)
    work.run(mechanic, until="two_turns")
    workshop.deliver(mechanic, photos=False)
    bag = workshop.bag(work)
    assert verdict_of(bag).findings == ()
    assert "absent" in states(unpacked(bag)).values()
    assert b"not received by the workshop when the bag was made" in unpacked(bag)[layout.REPORT]


def test_an_erased_value_is_shown_as_erased_under_its_statement(workshop, job):
    plate = job.log[0].body["plate"]["blob"]
    body = {"blob": plate, "reason": "asked for", "basis": "GDPR 17(1)(b)"}
    workshop.store.ledger.state("blob.erased", body, workshop.now)
    bag = workshop.bag(job)
    verdict = verdict_of(bag)
    assert verdict.findings == ()
    assert states(unpacked(bag))[plate] == "erased"
    assert ("Plate", "[erased: asked for (GDPR 17(1)(b))]") in verdict.told.facts


def test_an_entry_that_never_came_in_is_a_gap_in_the_bag_too(workshop, mechanic):
    work = workshop.job(mechanic)
    workshop.deliver(mechanic)
    lost = workshop.job(mechanic, plate="WEIR 13")  # another job, on a phone that lost it
    lost.run(mechanic, until="belt_off")
    mechanic.lines.clear()
    work.run(mechanic, until="belt_off")
    workshop.deliver(mechanic)
    verdict = verdict_of(workshop.bag(work))
    assert verdict.findings == ()
    first = next(one for one in work.log if one.kind == "tool.out")
    held = {
        record.entry.id: standing
        for _, record, standing in workshop.store.ledger.job_entries(work.job)
    }
    assert held[first.id] == "gap"
    assert [one.entry for one in verdict.told.exceptions if "missing" in one.what] == [first.id]


def test_work_after_a_revocation_is_doubted_and_accepting_it_is_in_the_bag(workshop, mechanic):
    work = workshop.job(mechanic)
    workshop.deliver(mechanic)
    body = {"device": mechanic.key.thumbprint, "because": "left in a tram"}
    workshop.store.ledger.state("device.revoked", body, workshop.now)
    work.run(mechanic, until="belt_on")
    workshop.deliver(mechanic)
    doubted = verdict_of(workshop.bag(work))
    assert doubted.findings == ()
    assert {one.standing for one in doubted.told.exceptions} == {"doubted"}
    ids = [one.id for one in work.log]
    workshop.store.ledger.state(
        "work.accepted", {"entries": ids, "because": "he had it back"}, workshop.now
    )
    accepted = verdict_of(workshop.bag(work))
    assert accepted.findings == ()
    assert accepted.told.exceptions == ()


def test_a_bag_stands_on_a_second_workshop_key(workshop, job, mechanic):
    rotate(workshop.store, workshop.now)
    verdict = verify(io.BytesIO(workshop.bag(job)), key=workshop.store.ledger.workshop)
    assert verdict.findings == ()
    assert verdict.told.workshop_name == "Workshop at the Weir"


def test_a_corrected_reading_is_shown_with_what_was_written_first(workshop, mechanic):
    work = workshop.job(mechanic)
    work.run(mechanic, until="two_turns")
    work.do(mechanic, "two_turns", values={"turned": "270"})
    reading = next(one for one in work.log if one.body.get("name") == "turned")
    because = mechanic.private("words", "a slip of the thumb")
    first = {"of": reading.id, "value": "702", "because": because}
    first = work.write(mechanic, "reading.corrected", first)
    again = {"of": first.id, "value": "720", "because": because}
    work.write(mechanic, "reading.corrected", again)
    workshop.deliver(mechanic)
    verdict = verdict_of(workshop.bag(work))
    assert verdict.findings == ()
    steps = {step.title: step for phase in verdict.told.phases for step in phase.steps}
    turned = next(m for m in steps["Two turns by hand"].measures if m.label == "angle turned")
    assert (turned.value, turned.holds, turned.remark) == (
        "720",
        True,
        ", first written down as 270",
    )


def test_limits_a_device_claims_do_not_count_and_are_told(workshop, mechanic):
    work = workshop.job(mechanic)
    work.run(mechanic, until="two_turns")
    body = {"step": "two_turns", "name": "turned", "value": "600", "unit": "°"}
    work.write(mechanic, "reading.taken", body | {"low": "500", "high": "700"})
    workshop.deliver(mechanic)
    steps = [step for phase in verdict_of(workshop.bag(work)).told.phases for step in phase.steps]
    (turned,) = next(step for step in steps if step.title == "Two turns by hand").measures
    assert (turned.holds, turned.verdict) == (False, "outside 715 to 725.0")
    assert "its device held it against 500 to 700" in turned.remark


def test_a_private_value_called_a_photo_does_not_leave_as_one(workshop, job, mechanic):
    vin = next(one for one in job.log if one.kind == "job.opened").body["vin"]["blob"]
    size = {"size": 1, "type": "image/jpeg", "width": 0, "height": 0}
    said = {"step": "belt_on", "name": "x", "how": "live", "blob": vin, **size}
    job.write(mechanic, "photo.taken", said)
    workshop.deliver(mechanic)
    bag = workshop.bag(job, groups=(), originals=True)
    assert verdict_of(bag).findings == ()
    assert states(unpacked(bag))[vin] == "withheld"
    assert b"TT000000000000001" not in b"".join(unpacked(bag).values())


def test_what_an_instrument_saw_leaves_and_a_sound_only_with_the_originals(workshop, mechanic):
    work = workshop.job(mechanic)
    sheet, clip = b'{"by":"pluck","edition":1,"v":1}', b"RIFF....WAVE"
    saw = [
        {"blob": layout.sha256(data), "size": len(data), "type": media_type}
        for data, media_type in ((sheet, "application/json"), (clip, "audio/wav"))
    ]
    reading = {"step": "belt_on", "name": "note", "value": "81.5", "unit": "Hz", "by": "pluck"}
    work.write(mechanic, "reading.taken", reading | {"saw": saw})
    mechanic.photos += [sheet, clip]
    workshop.deliver(mechanic)
    sheet_name = layout.saw_name(saw[0]["blob"], "application/json")
    clip_name = layout.saw_name(saw[1]["blob"], "audio/wav")
    for originals, names in ((False, {sheet_name}), (True, {sheet_name, clip_name})):
        bag = workshop.bag(work, originals=originals)
        assert verdict_of(bag).findings == ()
        assert names == {name for name in unpacked(bag) if name.startswith(layout.SAW)}
    assert "heard by the phone" in verdict_of(bag).report
    assert b"people may be heard" in unpacked(workshop.bag(work, originals=False))[layout.REPORT]
    assert unpacked(bag)[clip_name] == clip


def test_a_photo_called_a_sheet_does_not_leave_with_its_position(workshop, mechanic):
    work = workshop.job(mechanic)
    photo = located_photo("belt_on", "called_a_sheet").data
    blob = layout.sha256(photo)
    saw = [{"blob": blob, "size": len(photo), "type": "application/json"}]
    reading = {"step": "belt_on", "name": "note", "value": "81.5", "unit": "Hz", "by": "pluck"}
    work.write(mechanic, "reading.taken", reading | {"saw": saw})
    mechanic.photos.append(photo)
    workshop.deliver(mechanic)
    bag = workshop.bag(work, originals=False)
    assert states(unpacked(bag))[blob] == "withheld"
    verdict = verdict_of(bag)
    assert verdict.findings == ()
    assert any("what they saw is not in this bag" in said for said in verdict.unproven)


def test_statements_of_those_who_may_not_make_them_state_nothing(workshop, mechanic):
    work = workshop.job(mechanic)
    reading = {"step": "belt_on", "name": "t", "value": "26.5", "unit": "N\u00b7m", "tool": "W7"}
    work.write(mechanic, "reading.taken", reading)
    fitted = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "L1"}
    work.write(mechanic, "part.fitted", fitted)
    name = mechanic.private("name", "Somebody Else")
    mechanic.write("person.named", {"person": mechanic.person, "name": name})
    mechanic.write("lot.recalled", {"lot": "L1", "because": "teeth shear"})
    mechanic.write("tool.registered", {"tool": "W7", "type": "torque_wrench", "label": "Fine"})
    calibrated = {"tool": "W7", "on": "2026-11-01", "due": "2027-11-01"}
    mechanic.write("tool.calibrated", calibrated)
    mechanic.write("bundle.withdrawn", {"bundle": workshop.bundle.sha256, "because": "spite"})
    workshop.deliver(mechanic)
    bag = workshop.bag(work)
    assert verdict_of(bag).findings == ()
    report = unpacked(bag)[layout.REPORT].decode()
    assert "Ada Weir" in report
    assert "<dt>W7</dt><dd>not registered</dd>" in report
    for lie in ("Somebody Else", "This lot is recalled", "calibrated on", "withdrawn: spite"):
        assert lie not in report, lie


def test_a_recall_and_a_withdrawal_stand_in_the_reports_first_section(workshop, mechanic):
    work, owner = workshop.job(mechanic), workshop.phone("owner", "Bela Weir")
    fitted = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "nh 24\u20130917"}
    work.write(mechanic, "part.fitted", fitted)
    workshop.deliver(mechanic)
    recall = {"lot": "NH-24-0917", "because": "Teeth shear."}
    workshop.store.ledger.state("lot.recalled", recall, workshop.now)
    withdrawn = {"bundle": workshop.bundle.sha256, "because": "a wrong torque"}
    workshop.store.ledger.state("bundle.withdrawn", withdrawn, workshop.now)

    def first_section() -> str:
        bag = workshop.bag(work)
        assert verdict_of(bag).findings == ()
        report = unpacked(bag)[layout.REPORT].decode()
        return report.split("What the owner must look at")[1].split("<h2")[0]

    assert "lot NH-24-0917 is recalled: Teeth shear." in first_section()
    assert "its procedure was withdrawn: a wrong torque" in first_section()
    assert "took it over" not in first_section()
    stated = next(one for one in workshop.store.views.recalls())["id"]
    parts = [one.id for one in work_entries(workshop, work, "part.fitted")]
    words = owner.private("words", "looked at it")
    taken = {"recall": stated, "parts": parts, "because": words}
    work.write(owner, "recall.borne", taken)
    workshop.deliver(owner)
    assert "The owner took it over." in first_section()


def work_entries(workshop, work, kind):
    records = workshop.store.ledger.job_entries(work.job)
    return [record.entry for _, record, _ in records if record.entry.kind == kind]


def test_a_withdrawn_procedure_and_one_never_published_are_told(workshop, mechanic):
    work, own = workshop.job(mechanic), tiny_bundle(edition=7)
    workshop.store.ledger.keep([workshop.store.blobs.put(own.canonical)], workshop.now)
    body = {"bundle": workshop.bundle.sha256, "because": "a wrong torque"}
    workshop.store.ledger.state("bundle.withdrawn", body, workshop.now)
    workshop.deliver(mechanic)
    verdict = verdict_of(workshop.bag(work))
    assert "withdrawn: a wrong torque" in verdict.report
    assert "ever published" not in "".join(verdict.unproven)

    workshop.bundle = own  # never published: a phone made it up
    other = workshop.job(mechanic)
    workshop.deliver(mechanic)
    verdict = verdict_of(workshop.bag(other))
    assert verdict.findings == ()
    assert "ever published" in "".join(verdict.unproven)


def test_what_was_found_stands_in_the_reports_first_section_until_it_is_put_right(
    workshop, mechanic
):
    work = workshop.job(mechanic)
    words = mechanic.private("words", "oil at the seal")
    work.write(mechanic, "finding.noted", {"step": "belt_on", "words": words})
    workshop.deliver(mechanic)
    (finding,) = [one.id for one in work_entries(workshop, work, "finding.noted")]

    def first_section() -> str:
        bag = workshop.bag(work)
        assert verdict_of(bag).findings == ()
        report = unpacked(bag)[layout.REPORT].decode()
        return report.split("What the owner must look at")[1].split("<h2")[0]

    def say(kind: str, **said: object) -> None:
        work.write(mechanic, kind, {"finding": finding, **said})
        workshop.deliver(mechanic)

    assert "Found: oil at the seal" in first_section()
    assert "the customer has not decided" in first_section()
    say("finding.answered", answer="no", how="call")
    assert "the customer said no" in first_section()
    say(
        "finding.answered",
        answer="no",
        how="signature",
        signature=mechanic.private("signature", "M1 2L3 4"),
    )
    report = unpacked(workshop.bag(work))[layout.REPORT].decode()
    assert "the customer&#x27;s word on what was found" in report
    assert 'd="M1 2L3 4"' in report
    say("finding.answered", answer="yes", how="call")
    assert "the customer said yes, and it is not put right" in first_section()
    say("finding.settled", how="done")
    assert "Found" not in first_section()


def test_what_the_customer_read_is_proven_by_the_bag_word_for_word(workshop, mechanic):
    work = workshop.job(mechanic)
    plate = mechanic.private("plate", "WEIR 12")
    rows = [
        {"under": "What was done", "name": "Fit", "says": "Belt on; Pump on"},
        {"under": "The vehicle", "name": "Plate", "value": plate},
    ]
    shared = {"token": "ab" * 32, "until": "2027-01-01T00:00:00.000Z", "rows": rows}
    work.write(mechanic, "page.shared", shared)
    workshop.deliver(mechanic)
    verdict = verdict_of(workshop.bag(work))
    assert verdict.findings == ()
    assert "Fit: Belt on; Pump on" in verdict.report
    assert "Plate: WEIR 12" in verdict.report  # a bag of it, where plates were asked for
