"""What instruments measured is computed anew: the same, another, or why it cannot be."""

import io
import json
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bags import BagWorkshop, unpacked
from twoturns.bag import assess, layout
from twoturns.bag.recompute import MOST_BYTES, reading_anew
from twoturns.bag.verify import verify
from twoturns.instruments.sharpness import quality_of_photo
from twoturns.ledger import canonical
from twoturns.words.en.bag.sentences import ANEW

VECTORS = Path(__file__).parents[2] / "vectors"
# A still second, then 720 degrees about the phone's z axis in 12 seconds, 60 readings a second.
SAMPLES = [[n * 16_667, 0, 0, 0 if n < 61 else 60_000] for n in range(61 + 721)]
TURNED = {"v": 1, "by": "turn", "edition": 1, "scale_ppm": 0, "samples": SAMPLES}
TURNED["still"] = {"from_us": 0, "to_us": 60 * 16_667}


@dataclass
class Held:
    """As much of a bag's contents as a reading is computed from."""

    files: dict[str, bytes] = field(default_factory=dict)

    def put(self, data: bytes, media_type: str) -> dict[str, object]:
        blob = layout.sha256(data)
        self.files[blob] = data
        return {"blob": blob, "size": len(data), "type": media_type}

    def sheet(self, sheet: object) -> dict[str, object]:
        return self.put(canonical.dumps(sheet), "application/json")

    def shown(self, blob: str) -> bytes | None:
        return self.files.get(blob)

    def size(self, blob: str) -> int:
        return len(self.files.get(blob, b""))


def told(sheet, value, asked=None):
    held = Held()
    body = {"by": sheet["by"], "value": value, "saw": [held.sheet(sheet)]}
    return reading_anew(body, {"by": [sheet["by"]], **(asked or {})}, held)


def good_marks():
    cases = json.loads((VECTORS / "marks.json").read_text())["cases"]
    case = next(each for each in cases if "value" in each["expect"])
    figures = {name: case["expect"][name] for name in ("teeth_milli", "tilt_mdeg")}
    sheet = {"v": 1, "by": "marks", "edition": 1, "photo": "f" * 64, **case["sheet"], **figures}
    return sheet, case["expect"]["value"]


def test_marks_on_a_photo_come_out_the_same_and_on_another_wheel_they_do_not():
    sheet, value = good_marks()
    here = {"wheel_teeth": sheet["teeth"], "photo_blob": sheet["photo"]}
    assert told(sheet, value, here).code == "same"
    assert told(sheet, "0.99", here).differs
    assert told(sheet | {"teeth_milli": sheet["teeth_milli"] + 40}, value, here).differs
    assert told(sheet, value, here | {"wheel_teeth": sheet["teeth"] + 2}).code == "other-wheel"
    assert told(sheet, value, here | {"photo_blob": "0" * 64}).code == "other-photo"


def test_a_turn_comes_out_the_same_and_a_made_up_one_does_not():
    assert told(TURNED, "720.5").code == "same"
    other = told(TURNED, "690.0")
    assert (other.differs, "720.5" in other.found) == (True, True)


def test_two_turns_are_compared_as_turns():
    """720.5 degrees are 2.00 turns; 1.99 and 2.01 are half a digit away and more."""
    turns = {"unit": "turns"}
    assert told(TURNED, "2.00", turns).code == "same"
    other = told(TURNED, "1.99", turns)
    assert (other.code, other.found) == ("differs", "2.00 turns")
    assert told(TURNED, "2.00").differs
    assert told(TURNED, "720.5", turns).differs


@pytest.mark.parametrize(
    "wrong", [{}, {"samples": []}, {"samples": "none"}, {"still": None}, {"samples": [[1, 2]]}]
)
def test_a_sheet_of_nonsense_is_told_and_never_crashes(wrong):
    sheet = {"by": "turn", "v": 1, "edition": 1} if not wrong else TURNED | wrong
    assert told(sheet, "720.5").differs


@pytest.mark.parametrize("second", [b"[]", b"5", b"null", b'"text"', b"\xff", b"{}"])
def test_a_stroke_that_is_no_sheet_is_told_and_never_crashes(second):
    held = Held()
    saw = [held.sheet(TURNED), held.put(second, "application/json")]
    body = {"by": "turn", "value": "720.5", "saw": saw}
    assert reading_anew(body, {}, held).differs


def test_one_stroke_does_not_count_twice():
    held = Held()
    body = {"by": "turn", "value": "1441.0", "saw": [held.sheet(TURNED)] * 2}
    found = reading_anew(body, {}, held)
    assert (found.differs, found.code) == (True, "seen-twice")


@pytest.mark.parametrize("value", ["nan", " 720.5", "720.5 ", "7_20.5", "٧٢٠.٥", "7.205e2"])
def test_a_value_that_only_a_program_takes_for_a_number_is_told(value):
    assert told(TURNED, value).differs


def test_a_way_that_the_procedure_does_not_name_proves_nothing():
    """25 degrees of a gyro are no 25 N·m of a wrench."""
    found = told(TURNED, "720.5", {"by": ["pluck"]})
    assert (found.differs, found.code) == (True, "way-not-asked")
    assert told(TURNED, "720.5", {"by": []}).differs


def test_a_reading_of_which_nothing_was_kept_is_told():
    assert reading_anew({"by": "turn", "value": "720.5"}, {}, Held()).differs


def test_what_is_larger_than_an_instruments_is_not_even_read():
    held = Held()
    body = {"by": "turn", "value": "720.5", "saw": [held.put(b"[" * (MOST_BYTES + 1), "x")]}
    held.shown = None
    assert reading_anew(body, {}, held).differs


def test_what_is_not_in_the_bag_accuses_nobody():
    held = Held()
    saw = [held.sheet(TURNED)]
    held.files.clear()
    absent = reading_anew({"by": "turn", "value": "720.5", "saw": saw}, {}, held)
    assert (absent.differs, absent.code) == (False, "sheet-unseen")
    sheet = {"v": 1, "by": "pluck", "low": "1", "high": "2"}
    clip = {"blob": "0" * 64, "size": 9, "type": "audio/wav"}
    heard = {"by": "pluck", "value": "1.5", "saw": [held.sheet(sheet), clip]}
    assert not reading_anew(heard, {}, held).differs


def test_another_instruments_sheet_and_another_window_are_told():
    held = Held()
    sheet = held.sheet(TURNED)
    swapped = reading_anew({"by": "marks", "value": "0.00", "saw": [sheet]}, {}, held)
    assert (swapped.differs, swapped.code) == (True, "other-instrument")
    heard = told({"v": 1, "by": "pluck", "low": "10", "high": "400"}, "99.0", {"low": "123.5"})
    assert (heard.differs, heard.code) == (True, "other-window")


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    return BagWorkshop(tmp_path_factory.mktemp("anew") / "data")


def test_a_bag_tells_what_came_out_otherwise(workshop):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    held = Held()
    for value in ("720.5", "718.0"):
        reading = {"step": "two_turns", "name": "beside", "value": value, "unit": "\u00b0"}
        saw = [held.sheet(TURNED)]
        work.write(mechanic, "reading.taken", reading | {"by": "turn", "saw": saw})
    mechanic.photos += held.files.values()
    workshop.deliver(mechanic)
    bag = workshop.bag(work, originals=False)
    verdict = verify(io.BytesIO(bag))
    assert verdict.findings == ()
    odd = [each.what for each in verdict.told.exceptions if "computed anew" in each.what]
    assert len(odd) == 1
    assert "720.5\u00b0" in odd[0]
    report = unpacked(bag)[layout.REPORT].decode()
    assert f"by the phone's gyro, {ANEW['same']}" in report.replace("&#x27;", "'")


def test_a_recording_of_an_earlier_job_is_told_with_its_record(workshop):
    """A gyro's turn that was kept, and a photo from the pictures, played again on another van."""
    mechanic = workshop.phone("mechanic", "Ada Weir")
    held = Held()
    reading = {"step": "two_turns", "name": "beside", "value": "719.9", "unit": "\u00b0"}
    turned = {**TURNED, "scale_ppm": -833}
    reading |= {"by": "turn", "saw": [held.sheet(turned)]}
    photo = {"step": "belt_on", "name": "whole_drive", **held.put(b"no picture", "image/jpeg")}
    photo |= {"width": 0, "height": 0, "how": "picked"}
    first, second, third = (workshop.job(mechanic) for _ in range(3))
    for work in (first, second):
        work.write(mechanic, "reading.taken", reading)
        work.write(mechanic, "photo.taken", photo)
    work = third
    work.write(mechanic, "photo.taken", photo | held.put(b"another one", "image/jpeg"))
    work.write(mechanic, "photo.taken", photo | held.put(b"another one", "image/jpeg"))
    mechanic.photos += held.files.values()
    workshop.deliver(mechanic)
    told_of = {}
    for work in (first, second, third):
        verdict = verify(io.BytesIO(workshop.bag(work)))
        assert verdict.findings == ()
        said = [each.what for each in verdict.told.exceptions if "very same" in each.what]
        told_of[work.job] = [(what.split("the very same ")[1].split()[0], what) for what in said]
    assert told_of[first.job] == []
    assert [what for what, _ in told_of[second.job]] == ["recording", "photo"]
    assert all(what.endswith("of another job") for _, what in told_of[second.job])
    assert [what for what, _ in told_of[third.job]] == ["photo"]
    assert not told_of[third.job][0][1].endswith("of another job")


def test_a_lot_that_the_code_does_not_name_is_told(workshop):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    part = {"step": "belt_on", "name": "belt", "part": "belt"}
    label = "010950600013435210XB-77"
    for lot, code in (("XB-77", label), ("xb77", label), ("XB-78", label), ("XB-79", "https://[")):
        work.write(mechanic, "part.fitted", part | {"lot": lot, "code": code})
    work.write(mechanic, "part.fitted", part | {"lot": "TYPED"})
    workshop.deliver(mechanic)
    verdict = verify(io.BytesIO(workshop.bag(work)))
    assert verdict.findings == ()
    said = [each.what for each in verdict.told.exceptions if "code that was read" in each.what]
    assert [("XB-78" in what, what.split()[-1]) for what in said] == [
        (True, "XB-77"),
        (False, "lot"),
    ]


def test_no_text_turns_the_words_of_the_report_round(workshop):
    """A lot of 7-2 that is shown as 2-7, and the verdict behind it backwards."""
    mechanic = workshop.phone("mechanic", "Ada\u202e Weir")
    work = workshop.job(mechanic)
    lot = "7\u202e-2\x1b[31m\u2066<b>"
    part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": lot}
    work.write(mechanic, "part.fitted", part)
    workshop.deliver(mechanic)
    bag = workshop.bag(work)
    report = unpacked(bag)[layout.REPORT].decode()
    assert "lot 7\\u202e-2\\u001b[31m\\u2066&lt;b&gt;" in report
    assert not set(report) & set("\u202e\u2066\x1b")
    assert verify(io.BytesIO(bag)).findings == ()


def test_a_thousand_readings_hold_nobody_up(workshop, monkeypatch):
    monkeypatch.setattr(assess, "_MOST_ANEW", 2)
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    held = Held()
    for ppm in range(1, 5):
        saw = [held.sheet({**TURNED, "scale_ppm": -ppm})]
        reading = {"step": "two_turns", "name": "beside", "value": "720.5", "unit": "\u00b0"}
        work.write(mechanic, "reading.taken", reading | {"by": "turn", "saw": saw})
    work.write(mechanic, "reading.taken", {**reading, "value": "3"})
    mechanic.photos += held.files.values()
    workshop.deliver(mechanic)
    verdict = verify(io.BytesIO(workshop.bag(work)))
    assert verdict.findings == ()
    said = [each.what for each in verdict.told.exceptions if "not computed anew" in each.what]
    assert len(said) == 2


def test_an_original_photo_is_measured_anew(workshop):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    photo = work.picture("belt_on", "whole_drive")
    mechanic.photos.append(photo.data)
    found = quality_of_photo(photo.data)
    true = {"sharp_tenths": found.sharp_tenths, "mean": found.mean}
    true["blown_permille"] = found.blown_permille
    body = {"step": "belt_on", "blob": layout.sha256(photo.data), "size": len(photo.data)}
    body |= {"type": "image/jpeg", "width": 400, "height": 300, "how": "live"}
    work.write(mechanic, "photo.taken", body | {"name": "whole_drive", "quality": true})
    lie = true | {"sharp_tenths": true["sharp_tenths"] + 400}
    work.write(mechanic, "photo.taken", body | {"name": "another", "quality": lie})
    workshop.deliver(mechanic)
    bag = workshop.bag(work, originals=True)
    verdict = verify(io.BytesIO(bag), measures_photos=True)
    assert verdict.findings == verdict.unchecked == ()
    assert "1 photos measured anew are as sharp as their phones said" in verdict.proven
    assert any("photo another of step belt_on" in each for each in verdict.unproven)
    unasked = verify(io.BytesIO(bag))
    assert unasked.holds
    assert [said for said in unasked.unchecked if "--photos" in said and "2 photos" in said]
    assert not any("measured anew" in each for each in (*unasked.proven, *unasked.unproven))
    without = verify(io.BytesIO(workshop.bag(work, originals=False)), measures_photos=True)
    assert not any("measured anew" in each for each in (*without.proven, *without.unproven))
