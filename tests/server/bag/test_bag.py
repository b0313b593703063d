"""
A bag proves its job: the library `bagit` takes it, and every changed byte of it is found and named.
"""

import io
import json
import re
import zipfile

import bagit
import pytest

from bags import BagWorkshop, packed, resealed, unpacked
from twoturns.bag import layout
from twoturns.bag.evidence import BlobDiffers
from twoturns.bag.verify import verify
from twoturns.bag.write import write_bag
from twoturns.ledger import canonical, checkpoint

pytestmark = pytest.mark.slow(7)


def checked(bag, **asked):
    return verify(io.BytesIO(bag), **asked)


def found_in(files, **asked):
    """What is found in a bag of these files, as (code, file)."""
    return {(one.code, one.file) for one in checked(packed(files), **asked).findings}


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    return BagWorkshop(tmp_path_factory.mktemp("bag") / "data")


@pytest.fixture(scope="module")
def people(workshop):
    return workshop.phone("mechanic", "Ada Weir"), workshop.phone("owner", "Bo Sluice")


@pytest.fixture(scope="module")
def job(workshop, people):
    """A finished and approved job; the mechanic did another one in between."""
    mechanic, owner = people
    work = workshop.job(mechanic)
    work.run(mechanic, until="two_turns")
    other = workshop.job(mechanic, plate="WEIR 13")
    other.run(mechanic, until="belt_on")
    work.run(mechanic)
    work.write(mechanic, "job.closed", {"end": "finished"})
    workshop.deliver(mechanic)
    work.write(owner, "review.approved", {})
    workshop.deliver(owner)
    return work


@pytest.fixture(scope="module")
def bag(workshop, job):
    return workshop.bag(job)


@pytest.fixture(scope="module")
def files(bag):
    return unpacked(bag)


def test_a_bag_of_a_finished_job_holds(bag, workshop):
    verdict = checked(bag, key=workshop.store.ledger.workshop)
    assert verdict.findings == ()
    assert verdict.told.state == "Closed as Finished. Approved by the owner. 5 of 5 steps hold."
    assert verdict.told.exceptions == ()
    assert any("fingerprint" in said for said in verdict.proven)
    assert any("does not" not in said and "Who held" in said for said in verdict.unproven)


def test_the_library_takes_it_for_a_bagit_1_0_bag(bag, tmp_path):
    with zipfile.ZipFile(io.BytesIO(bag)) as archive:
        archive.extractall(tmp_path)
    (folder,) = tmp_path.iterdir()
    library = bagit.Bag(str(folder))
    assert library.version_info == (1, 0)
    assert library.validate() is True
    with (folder / "data" / "records.txt").open("ab") as records:
        records.write(b"x")
    with pytest.raises(bagit.BagValidationError):
        bagit.Bag(str(folder)).validate()


def test_the_same_evidence_gives_the_same_bytes(bag, workshop, job):
    assert workshop.bag(job) == bag


def test_packed_anew_by_another_program_it_still_holds(files):
    turned = dict(reversed(files.items()))
    again = packed(turned, folder="job of the van", method=zipfile.ZIP_DEFLATED)
    assert checked(again).findings == ()


def places(size):
    """Every byte would take minutes: the first ones, the last ones, and some between."""
    return sorted(
        {0, 1, size // 3, size // 2, size * 2 // 3, size - 2, size - 1} & set(range(size))
    )


def test_every_flipped_byte_is_found_and_its_file_named(files):
    for name, data in files.items():
        for place in places(len(data)):
            for flip in (0x01, 0x20):
                changed = bytearray(data)
                changed[place] ^= flip
                findings = found_in({**files, name: bytes(changed)})
                where = f"{name} at {place} ^ {flip:#x}"
                # A manifest's own line and the file it speaks of cannot be told apart.
                blamed = {file for _, file in findings}
                assert blamed, where
                assert name in blamed or name in (layout.MANIFEST, layout.TAG_MANIFEST), where


def test_a_file_taken_away_is_named(files):
    for name in files:
        findings = found_in({n: data for n, data in files.items() if n != name})
        assert name in {file for _, file in findings}, name


def test_a_renamed_file_is_named_under_both_names(files):
    for name in files:
        others = {n: data for n, data in files.items() if n != name}
        findings = found_in({**others, name + "x": files[name]})
        assert {name, name + "x"} <= {file for _, file in findings}, name


def test_a_file_that_was_added_is_named(files):
    assert ("unexpected-file", "data/notes.txt") in found_in({**files, "data/notes.txt": b"hello"})
    stray = layout.blob_name("ab" * 32)
    assert {("changed", stray), ("blob-changed", stray)} <= found_in({**files, stray: b"hello"})


def test_two_blobs_swapped_are_both_named(files):
    one, other, *_ = [name for name in files if name.startswith("data/blobs/")]
    findings = found_in({**files, one: files[other], other: files[one]})
    assert {("blob-changed", one), ("blob-changed", other)} <= findings


def test_a_bag_cut_off_anywhere_is_refused(bag):
    for size in (0, 1, 22, len(bag) // 3, len(bag) - 30, len(bag) - 1):
        verdict = checked(bag[:size])
        assert not verdict.holds, size


def test_any_flipped_byte_of_the_zip_is_found_unless_the_files_are_the_same(bag, files):
    for place in range(0, len(bag), max(1, len(bag) // 400)):
        changed = bytearray(bag)
        changed[place] ^= 0x10
        verdict = checked(bytes(changed))
        if verdict.holds:  # it was in a time or another field of the zip that says nothing
            assert unpacked(bytes(changed)) == files, place


def test_an_entry_of_the_device_in_another_job_closes_its_count(files, job):
    records = [line.split(" ", 3)[3] for line in files[layout.RECORDS].decode().splitlines()]
    jobs = {json.loads(one.partition(" ")[2])["job"] for one in records}
    assert len(jobs - {None, job.job}) == 1
    verdict = checked(packed(files))
    assert {
        line.standing for phase in verdict.told.phases for s in phase.steps for line in s.lines
    } == {"good"}


# Forgers who know BagIt: the manifests fit, the evidence does not.


def forged(files, name, change):
    text = files[name]
    assert change(text) != text
    return {
        (one.code, one.file) for one in checked(resealed({**files, name: change(text)})).findings
    }


def test_resealing_alone_changes_nothing(files):
    assert checked(resealed(files)).findings == ()


def test_a_changed_reading_has_a_wrong_signature_and_is_not_in_the_ledger(files):
    findings = forged(
        files, layout.RECORDS, lambda text: text.replace(b'"value":"720.0"', b'"value":"721.0"')
    )
    assert {("wrong-signature", layout.RECORDS), ("not-included", layout.RECORDS)} <= findings


def test_a_time_of_receipt_that_was_changed_is_not_in_the_ledger(files):
    def later(text):
        index, space, rest = text.partition(b" ")
        return index + space + rest.replace(b"2026-", b"2027-", 1)

    assert ("not-included", layout.RECORDS) in forged(files, layout.RECORDS, later)


def test_a_record_under_another_index_is_not_in_the_ledger(files):
    def moved(text):
        lines = text.split(b"\n")
        last = lines[-2].split(b" ", 1)
        return b"\n".join([*lines[:-2], b"%d %b" % (int(last[0]) + 1, last[1]), b""])

    assert ("no-path", layout.PROOFS) in forged(files, layout.RECORDS, moved)


def test_a_record_left_out_shows_in_the_proofs_and_in_the_report(files):
    def without_one_reading(text):
        return b"\n".join(line for line in text.split(b"\n") if b'"name":"turned"' not in line)

    findings = forged(files, layout.RECORDS, without_one_reading)
    assert {("no-record", layout.PROOFS), ("report-differs", layout.REPORT)} <= findings


def test_an_entry_left_out_with_its_proof_shows_as_a_gap(files):
    lines = files[layout.RECORDS].decode().splitlines()
    gone = next(line for line in lines if '"name":"turned"' in line)
    index = int(gone.split(" ")[0])
    proofs = canonical.loads(files[layout.PROOFS])
    proofs["inclusion"] = [one for one in proofs["inclusion"] if one["index"] != index]
    changed = {
        **files,
        layout.RECORDS: "".join(f"{line}\n" for line in lines if line != gone).encode(),
        layout.PROOFS: canonical.dumps(proofs),
    }
    verdict = checked(resealed(changed))
    assert [one.what for one in verdict.told.exceptions if one.standing == "gap"]
    assert any("an entry that others follow" in said for said in verdict.unproven)
    assert "5 of 5" not in verdict.told.state


def test_a_path_of_another_record_leads_nowhere(files):
    def swapped(text):
        said = canonical.loads(text)
        said["inclusion"][0]["path"][0] = said["inclusion"][0]["path"][1]
        return canonical.dumps(said)

    assert ("not-included", layout.RECORDS) in forged(files, layout.PROOFS, swapped)


def test_a_checkpoint_of_another_size_is_not_signed(files):
    size = canonical.loads(files[layout.PROOFS])["size"]
    old, new = b"\n%d\n" % size, b"\n%d\n" % (size + 1)
    findings = forged(files, layout.CHECKPOINT, lambda text: text.replace(old, new))
    assert ("checkpoint", layout.CHECKPOINT) in findings


def test_limits_widened_in_the_bundle_make_it_another_bundle(files):
    findings = forged(files, layout.BUNDLE, lambda text: text.replace(b'"715"', b'"615"'))
    assert ("other-bundle", layout.BUNDLE) in findings


def test_a_report_that_says_something_else_is_found(files):
    findings = forged(
        files, layout.REPORT, lambda text: text.replace(b"5 of 5 steps", b"9 of 9 steps")
    )
    assert findings == {("report-differs", layout.REPORT), ("payload", layout.MANIFEST)}


def pictures(files):
    """What the page shows, by the names in the bag that its links lead to."""
    page = files[layout.REPORT].decode()
    return [layout.PAYLOAD + name for name in re.findall(r'<img [^>]*src="([^"]*)"', page)]


def test_the_report_shows_the_photos_that_lie_in_the_bag_and_holds_none(workshop, job, files):
    copies = unpacked(workshop.bag(job, originals=False))
    for held, folder in ((files, layout.PHOTOS), (copies, layout.COPIES)):
        shown = pictures(held)
        assert sorted(shown) == sorted(name for name in held if name.startswith(folder))
        assert b"base64," not in held[layout.REPORT]


def test_a_report_that_shows_another_photo_is_found(files):
    (shown,) = (name.removeprefix(layout.PAYLOAD).encode() for name in pictures(files))
    findings = forged(files, layout.REPORT, lambda text: text.replace(shown, b"photos/other.jpg"))
    assert ("report-differs", layout.REPORT) in findings


def test_a_description_of_another_job_is_found(files):
    findings = forged(
        files, layout.BAG_INFO, lambda text: text.replace(b"Two-Turns-Head: ", b"Two-Turns-Head: 1")
    )
    assert findings == {("bag-info", layout.BAG_INFO)}


def test_a_value_called_withheld_while_it_is_there_is_found(files):
    def withheld(text):
        said = canonical.loads(text)
        said[0]["state"] = "withheld"
        return canonical.dumps(said)

    codes = {code for code, _ in forged(files, layout.DISCLOSURE, withheld)}
    assert "undisclosed-file" in codes


def test_a_value_called_erased_needs_the_statement_that_erased_it(files):
    said = canonical.loads(files[layout.DISCLOSURE])
    first = said[0]["blob"]
    said[0]["state"] = "erased"
    others = {n: data for n, data in files.items() if layout.blob_of(n) != first}
    verdict = checked(resealed({**others, layout.DISCLOSURE: canonical.dumps(said)}))
    assert "erased-unsaid" in {one.code for one in verdict.findings}


def test_a_blob_that_nothing_is_said_of_is_found(files):
    def shorter(text):
        return canonical.dumps(canonical.loads(text)[1:])

    codes = {code for code, _ in forged(files, layout.DISCLOSURE, shorter)}
    assert "unaccounted-blob" in codes


# What the reader brings along.


def test_the_fingerprint_of_another_workshop_is_a_finding(bag):
    verdict = checked(bag, key="kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k")
    assert [one.code for one in verdict.findings] == ["other-workshop"]


def test_the_same_checkpoint_kept_is_proven_to_be_the_same_ledger(bag, files):
    verdict = checked(bag, kept=files[layout.CHECKPOINT].decode())
    assert verdict.holds
    assert any("very one" in said for said in verdict.proven)


def test_a_checkpoint_of_another_size_proves_nothing_and_says_what_to_ask(bag, workshop, files):
    size = canonical.loads(files[layout.PROOFS])["size"]
    workshop.store.ledger.state("retention.set", {"days": 4000}, workshop.now)
    kept = workshop.store.ledger.checkpoint()
    verdict = checked(bag, kept=kept)
    assert (verdict.findings, verdict.holds) == ((), False)
    grown = workshop.store.ledger.size()
    (unshown,) = verdict.unshown
    assert unshown.code == "growth-not-proven"
    assert f"from={size}&to={grown}" in unshown.hint


def test_a_checkpoint_of_the_same_size_with_another_root_means_two_ledgers(bag, workshop, files):
    size = canonical.loads(files[layout.PROOFS])["size"]
    key = workshop.store.ledger.signer()
    other = checkpoint.sign(key, workshop.store.ledger.workshop, size, b"\x07" * 32)
    assert [one.code for one in checked(bag, kept=other).findings] == ["two-ledgers"]


def test_a_checkpoint_nobody_signed_is_a_finding(bag):
    assert [one.code for one in checked(bag, kept="hello\n").findings] == ["kept-checkpoint"]


# What does not leave.


def test_a_blob_that_differs_from_its_name_is_not_exported(workshop, job):
    evidence = workshop.evidence(job)
    name = next(name for name in evidence.files if name.startswith("data/photos/"))
    evidence.files[name] = lambda: io.BytesIO(b"something else")
    out = io.BytesIO()
    with pytest.raises(BlobDiffers, match="hash to"):
        write_bag(evidence, out)
    assert not checked(out.getvalue()).holds


def test_what_only_a_newer_program_can_read_goes_into_the_bag_and_is_named(workshop, people):
    mechanic, newer = people[0], workshop.enrol("mechanic")
    work = workshop.job(mechanic)
    workshop.deliver(mechanic)
    body = {"whom": {"blob": "ab" * 32}, "step": [1], "blob": 7}
    said = newer.write_newer("step.blessed", body, work.job)
    assert workshop.push(said).refused == []
    verdict = checked(workshop.bag(work))
    assert verdict.findings == ()
    (unchecked,) = [one for one in verdict.unchecked if "a newer program wrote them" in one]
    assert "update this program" in unchecked
    assert said.line in unpacked(workshop.bag(work))[layout.RECORDS].decode()
    (flagged,) = [one for one in verdict.told.exceptions if "newer program" in one.what]
    assert flagged.what.startswith("The job has an entry that only a newer program can read")
