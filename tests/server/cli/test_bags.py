"""`export` and `verify`: what they write, print, and exit with."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from bags import BagWorkshop, packed, unpacked
from twoturns.bag import layout
from twoturns.cli import main
from workshop import clients


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    return BagWorkshop(tmp_path_factory.mktemp("cli") / "data")


@pytest.fixture(scope="module")
def job(workshop):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.run(mechanic, until="two_turns")
    work.do(mechanic, "two_turns", values={"turned": "700"})
    workshop.deliver(mechanic)
    return work


@pytest.fixture(scope="module")
def bag(workshop, job, tmp_path_factory):
    out = tmp_path_factory.mktemp("bags") / "job.zip"
    result = run("export", job.job, "--data", workshop.folder, "--out", out, "--with", "vin")
    assert result.exit_code == 0, result.output
    assert f"--key {workshop.store.ledger.workshop}" in result.output
    return out


def test_a_whole_bag_exits_0_and_says_what_is_proven_and_what_not(bag, workshop):
    result = run("verify", bag, "--key", workshop.store.ledger.workshop)
    assert result.exit_code == 0, result.output
    first = result.output.splitlines()[0]
    assert first.startswith("job.zip: whole and unaltered; as of 20")
    assert first.endswith(f"signed by workshop {workshop.store.ledger.workshop}.")
    for heading in ("Proven", "Asserted by", "Not proven"):
        assert f"\n{heading}\n" in result.output
    assert "has a reading outside its limits (angle turned): Done" in result.output
    assert "Ombral Hayfork, WEIR 12" in result.output


def test_a_changed_bag_exits_1_and_names_the_file(bag, tmp_path):
    files = unpacked(bag.read_bytes())
    changed = tmp_path / "changed.zip"
    name = next(name for name in files if name.startswith(layout.COPIES))
    changed.write_bytes(packed({**files, name: files[name] + b"x"}))
    result = run("verify", changed)
    assert result.exit_code == 1
    assert f"{name}: its hash is" in result.output


def test_what_is_no_bag_exits_1_and_a_file_that_is_not_there_2(tmp_path):
    (tmp_path / "note.txt").write_text("hello")
    assert run("verify", tmp_path / "note.txt").exit_code == 1
    assert run("verify", tmp_path / "absent.zip").exit_code == 2


def test_another_fingerprint_exits_1(bag):
    result = run("verify", bag, "--key", "A" * 43)
    assert result.exit_code == 1
    assert "[other-workshop]" in result.output


def test_json_is_for_programs(bag, tmp_path):
    said = json.loads(run("verify", bag, "--json").output)
    assert said["holds"] is True
    assert said["findings"] == []
    assert [one["what"] for one in said["exceptions"]]
    cut = tmp_path / "cut.zip"
    cut.write_bytes(bag.read_bytes()[:-40])
    said = json.loads(run("verify", cut, "--json").output)
    assert said["holds"] is False
    assert said["findings"][0].keys() == {"code", "file", "what", "hint"}


def test_the_report_is_written_anew_out_of_the_records(bag, tmp_path):
    files = unpacked(bag.read_bytes())
    lying = tmp_path / "lying.zip"
    lying.write_bytes(packed({**files, layout.REPORT: b"<p>All is well."}))
    result = run("verify", lying, "--report", tmp_path / "report.html")
    assert result.exit_code == 1
    assert "[report-differs]" in result.output
    assert (tmp_path / "report.html").read_bytes() == files[layout.REPORT]


def test_the_report_is_never_written_over_a_file_least_of_all_over_the_bag(bag):
    before = bag.read_bytes()
    result = run("verify", bag, "--report", bag)
    assert result.exit_code == 2
    assert "is there already; name another file" in result.output
    assert bag.read_bytes() == before


def test_a_folder_that_is_not_there_is_named(bag, workshop, job, tmp_path):
    data, no = workshop.folder, tmp_path / "no"
    for words in (
        ["verify", bag, "--report", no / "report.html"],
        ["export", job.job, "--data", data, "--out", no / "x.zip"],
    ):
        result = run(*words)
        assert result.exit_code == 2
        assert f"there is no folder {no}; make it first" in result.output


def test_a_kept_checkpoint_is_compared(bag, workshop, tmp_path):
    (tmp_path / "kept.txt").write_text(workshop.store.ledger.checkpoint())
    result = run("verify", bag, "--checkpoint", tmp_path / "kept.txt")
    assert result.exit_code == 0
    assert "the very one of the checkpoint that was kept" in result.output


def test_a_job_that_is_not_there_exits_1_with_a_hint(workshop, tmp_path):
    nobody = "00000000-0000-7000-8000-00000000dead"
    result = run("export", nobody, "--data", workshop.folder, "--out", tmp_path / "x.zip")
    assert result.exit_code == 1
    assert "there is no such job\nTake the job's id" in result.output
    assert not (tmp_path / "x.zip").exists()


def test_a_file_that_is_there_already_is_not_written_over(workshop, job, tmp_path):
    out = tmp_path / "job.zip"
    out.write_text("mine")
    result = run("export", job.job, "--data", workshop.folder, "--out", out)
    assert result.exit_code == 2
    assert out.read_text() == "mine"


def test_what_nobody_can_disclose_is_a_wrong_use(workshop, job, tmp_path):
    out = tmp_path / "job.zip"
    result = run("export", job.job, "--data", workshop.folder, "--out", out, "--with", "everything")
    assert result.exit_code == 2
    assert "--with knows vin, notes" in result.output


def test_a_damaged_blob_leaves_no_half_bag_behind(workshop, tmp_path):
    mechanic = workshop.phone("mechanic", "Bo")
    work = workshop.job(mechanic)
    workshop.deliver(mechanic)
    plate = workshop.store.blobs.path(work.log[0].body["plate"]["blob"])
    data = plate.read_bytes()
    plate.write_bytes(data.replace(b"WEIR", b"WIER"))
    result = run(
        "export", work.job, "--data", workshop.folder, "--out", tmp_path / "x.zip", "--with", "vin"
    )
    assert result.exit_code == 1
    assert "was altered on the workshop's disk" in result.output
    assert list(tmp_path.iterdir()) == []


def test_what_people_wrote_cannot_write_to_the_terminal(workshop, tmp_path):
    mechanic = workshop.phone("mechanic", "Bo \x1b]0;Ada\x07")
    lie = "lost\n\nProven\n  All of it\x1b[2J\u202e\x9b"
    work = workshop.job(mechanic, plate=lie)
    work.write(mechanic, "tool.lost", {"tool": "pin", "because": mechanic.private("words", lie)})
    workshop.deliver(mechanic)
    out = tmp_path / "job.zip"
    out.write_bytes(workshop.bag(work))
    for said in (run("verify", out), run("verify", out, "--json")):
        assert said.exit_code == 0
        assert all(one.isprintable() or one == "\n" for one in said.output)
        assert "  All of it" not in said.output.splitlines()
    assert "lost\\n\\nProven\\n  All of it\\x1b[2J\\u202e\\x9b" in run("verify", out).output
    listed = run("jobs", "--data", workshop.folder).output
    assert all(one.isprintable() or one == "\n" for one in listed)


def test_the_headline_says_no_more_than_was_verified(workshop, bag, tmp_path):
    fingerprint = workshop.store.ledger.workshop
    first = run("verify", bag).output.splitlines()[0]
    assert f"Any workshop could have signed it: compare {fingerprint}" in first
    workshop.store.ledger.state("retention.set", {"days": 4000}, workshop.now)
    (tmp_path / "kept.txt").write_text(workshop.store.ledger.checkpoint())
    result = run("verify", bag, "--key", fingerprint, "--checkpoint", tmp_path / "kept.txt")
    assert result.exit_code == 1
    assert "nothing in it was altered, but growth not proven" in result.output.splitlines()[0]
    golden = Path(__file__).parents[2] / "golden" / "2026-11" / "bag.zip"
    result = run("verify", golden)
    assert result.exit_code == 1
    assert "but completeness not proven" in result.output.splitlines()[0]
    assert "whole and unaltered" not in result.output
    assert "\nNot checked\n" in result.output


def test_growth_is_shown_by_a_file_and_by_a_bag_made_since(workshop, job, bag, tmp_path):
    ledger = workshop.store.ledger
    kept, proof, out = (tmp_path / name for name in ("kept.txt", "answer.json", "since.zip"))
    kept.write_text(ledger.checkpoint())
    size = int(unpacked(bag.read_bytes())[layout.CHECKPOINT].split(b"\n")[1])
    proof.write_bytes(
        clients(workshop)().get(f"/api/consistency?from={size}&to={ledger.size()}").data
    )
    words = ("verify", bag, "--key", ledger.workshop, "--checkpoint", kept)
    assert run(*words, "--consistency", proof).exit_code == 0
    assert run("verify", bag, "--consistency", proof).exit_code == 2
    ledger.state("retention.set", {"days": 4001}, workshop.now)
    made = run("export", job.job, "--data", workshop.folder, "--out", out, "--since", kept)
    assert made.exit_code == 0, made.output
    assert run("verify", out, "--key", ledger.workshop, "--checkpoint", kept).exit_code == 0
