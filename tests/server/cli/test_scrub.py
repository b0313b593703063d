"""`twoturns scrub`: what it says, and how it ends."""

import shutil

from click.testing import CliRunner

from twoturns.cli import main
from twoturns.store.backup import back_up
from workshop import NOON


def run(workshop, *more):
    return CliRunner().invoke(main, ["scrub", "--data", str(workshop.folder), *map(str, more)])


def test_a_whole_folder_is_read_and_nothing_found(workshop):
    workshop.store.ledger.keep([workshop.store.blobs.put(b"photo")], NOON)
    result = run(workshop)
    assert result.exit_code == 0
    assert result.output.endswith("1 photo or value read through.\n")


def test_each_finding_is_named_and_put_back_from_a_backup(workshop, tmp_path):
    blobs = workshop.store.blobs
    altered, missing = blobs.put(b"one"), blobs.put(b"two")
    workshop.store.ledger.keep([altered, missing], NOON)
    back_up(workshop.store, tmp_path / "backup", NOON)
    blobs.path(altered).write_bytes(b"eno")
    blobs.path(missing).unlink()
    result = run(workshop)
    assert result.exit_code == 1
    assert f"({altered}): altered on the disk\n" in result.output
    assert f"({missing}): missing on the disk\n" in result.output
    assert "2 findings; see above" in result.output

    result = run(workshop, "--from", tmp_path / "backup")
    assert result.exit_code == 0, result.output
    assert result.output.count("and was put back from the backup") == 2
    assert run(workshop).exit_code == 0
    assert [blobs.read(altered), blobs.read(missing)] == [b"one", b"two"]


def test_a_folder_that_is_no_backup_is_refused(workshop, tmp_path):
    (tmp_path / "other").mkdir()
    result = run(workshop, "--from", tmp_path / "other")
    assert result.exit_code == 1
    assert "holds no backup" in result.output
    shutil.rmtree(tmp_path / "other")
