"""
A bag out of which something was cut is refused by name, however well the rest was mended.

The head of the job is checked against the signed note of C2SP (signed-note): `test_checkpoint`
has its published example.
"""

from pathlib import Path

import pytest

from bag_cuts import CUTS, cut_of, last_entries
from bags import bag_entries, mended, packed, resealed, unpacked, verdict_of, without
from twoturns.bag import layout, report
from twoturns.bag.head import Ids
from twoturns.ledger import canonical

pytestmark = pytest.mark.slow(7)

GOLDEN = Path(__file__).parents[2] / "golden"


@pytest.fixture(scope="module")
def older(rich):
    """A genuine bag of the job as it stood when `rich` was made."""
    return rich.bag()


@pytest.fixture(scope="module")
def files(older):
    return unpacked(older)


def codes(verdict):
    return {one.code for one in verdict.findings}


def test_the_bag_of_the_job_is_whole(older, rich):
    verdict = verdict_of(older, key=rich.workshop.store.ledger.workshop)
    assert (verdict.findings, verdict.unshown) == ((), ())
    assert verdict.as_of[0] == "2026-11-24"
    assert any("every entry of the job that the workshop held" in one for one in verdict.proven)
    lacks = [one for one in verdict.unproven if "never reached the workshop" in one]
    assert len(lacks) == 1


@pytest.mark.parametrize("name", CUTS)
def test_what_was_cut_out_is_named(files, rich, name):
    gone = cut_of(files, rich.work.job, CUTS[name])
    verdict = verdict_of(packed(without(files, gone)))
    assert codes(verdict) >= {"left-out", "payload"}
    told = "\n".join(one.what for one in verdict.findings if one.code == "left-out")
    entries = bag_entries(files)
    for index in gone:
        assert f"record {index}," in told
        assert entries[index]["id"] in told
    assert not verdict.holds


@pytest.mark.parametrize("name", CUTS)
def test_with_the_list_mended_as_well_the_signed_count_says_so(files, rich, name):
    gone = cut_of(files, rich.work.job, CUTS[name])
    cut = without(files, gone)
    listed = Ids.read(cut[layout.IDS].decode())
    fitting = Ids(
        tuple(one for one in listed.entries if one[0] not in gone),
        tuple(one for one in listed.others if one[0] not in gone),
    )
    verdict = verdict_of(resealed({**cut, layout.IDS: fitting.text.encode()}))
    assert codes(verdict) >= {"ids", "left-out"}
    assert any("the head is of" in one.what for one in verdict.findings)


def headless(files):
    return mended({n: data for n, data in files.items() if n not in layout.SINCE_EDITION_2})


def test_without_its_head_nothing_else_tells_of_a_cut_and_it_never_holds(files, rich):
    """This is the attack as it was: of these bags all passed."""
    unseen = set()
    for name, cut in CUTS.items():
        verdict = verdict_of(packed(headless(without(files, cut_of(files, rich.work.job, cut)))))
        assert not verdict.holds, name
        # A workshop of edition 2 makes a head with each bag; that it is missing is all that tells.
        unseen |= {name} if codes(verdict) == {"no-head"} else set()
    assert len(unseen) >= 22, set(CUTS) - unseen


def test_a_bag_without_its_head_is_a_fault_where_the_workshop_makes_one(files):
    verdict = verdict_of(packed(headless(files)))
    assert codes(verdict) == {"no-head"}
    assert any("no head of the job" in one for one in verdict.unproven)
    assert not verdict.holds


def test_the_bag_of_a_build_before_verifies_with_completeness_not_proven():
    verdict = verdict_of((GOLDEN / "2026-11" / "bag.zip").read_bytes())
    assert verdict.findings == ()
    assert [one.code for one in verdict.unshown] == ["completeness-not-proven"]
    (unread,) = verdict.unchecked
    assert "data/report.html is of form 1" in unread
    assert f"report {report.FORM}" in verdict.report


def test_a_bag_whose_page_holds_its_pictures_verifies_as_it_did():
    verdict = verdict_of((GOLDEN / "2026-11-29" / "bag.zip").read_bytes())
    assert verdict.holds
    of_account, of_page = verdict.unchecked
    assert "data/account.json is of edition 1" in of_account
    assert "data/report.html is of form 2" in of_page


def test_an_older_genuine_bag_proves_the_older_state_and_its_head_no_newer_one(older, files, rich):
    note = rich.mechanic.private("words", "came later")
    rich.work.write(rich.mechanic, "note.added", {"text": note})
    rich.workshop.deliver(rich.mechanic)
    newer = rich.bag()
    then, now = verdict_of(older), verdict_of(newer)
    assert then.holds
    assert now.holds
    assert then.as_of[1] < now.as_of[1]
    again = unpacked(newer)
    gone = last_entries(bag_entries(again), rich.work.job)
    borrowed = {layout.HEAD: files[layout.HEAD], layout.IDS: files[layout.IDS]}
    verdict = verdict_of(resealed({**without(again, gone), **borrowed}))
    assert "head" in codes(verdict)


def test_the_head_of_another_job_is_no_head_of_this_one(rich):
    mine, other = unpacked(rich.bag()), unpacked(rich.workshop.bag(rich.before))
    borrowed = {layout.HEAD: other[layout.HEAD], layout.IDS: other[layout.IDS]}
    verdict = verdict_of(resealed(mine | borrowed))
    assert {"head", "left-out", "not-in-head"} <= codes(verdict)
    (said,) = [one.what for one in verdict.findings if one.code == "head"]
    assert said == f"it is of job {rich.before.job}"


def test_a_bag_that_is_dated_anew_is_found(files):
    info = files[layout.BAG_INFO].replace(b"Bagging-Date: 2026-11-24", b"Bagging-Date: 2027-02-01")
    verdict = verdict_of(packed(mended({**files, layout.BAG_INFO: info})))
    assert "it was made on 2026-11-24" in [one.what for one in verdict.findings]


def test_one_changed_byte_of_the_head_or_its_list_is_found(files):
    for name in (layout.HEAD, layout.IDS):
        text = files[name]
        for place in range(0, len(text), max(1, len(text) // 40)):
            changed = text[:place] + bytes([text[place] ^ 1]) + text[place + 1 :]
            assert not verdict_of(resealed({**files, name: changed})).holds, (name, place)


def test_a_photo_that_is_called_absent_or_withheld_afterwards_is_found(files):
    said = canonical.loads(files[layout.DISCLOSURE])
    photo = next(layout.blob_of(name) for name in files if name.startswith("data/photos/"))
    for state in ("absent", "withheld"):
        told = [one | {"state": state} if one["blob"] == photo else one for one in said]
        others = {n: data for n, data in files.items() if layout.blob_of(n) != photo}
        cut = mended({**others, layout.DISCLOSURE: canonical.dumps(told)})
        assert codes(verdict_of(packed(cut))) == {"payload"}


def test_an_entry_that_the_workshop_lacks_too_is_told_as_lacking_there(rich):
    work, phone = rich.workshop.job(rich.mechanic, plate="WEIR 15"), rich.mechanic
    rich.workshop.deliver(phone)
    work.write(phone, "note.added", {"text": phone.private("words", "lost")})
    phone.lines.clear()
    work.write(phone, "note.added", {"text": phone.private("words", "kept")})
    rich.workshop.deliver(phone)
    verdict = verdict_of(rich.workshop.bag(work))
    assert verdict.holds
    told = [one for one in verdict.unproven if "lacking in the workshop" in one]
    assert len(told) == 2  # what its `after` names, and the number before it
    assert verdict.account.lacking == (work.log[-2].id,)
    (number,) = verdict.account.lacking_numbers
    assert (number.device, number.seq) == (phone.key.thumbprint, work.log[-2].seq)
