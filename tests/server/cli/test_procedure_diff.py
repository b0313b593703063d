"""`procedure diff` and what `publish` says of a newer edition: changes, who is told, open jobs."""

import json

import pytest
from click.testing import CliRunner

from procedure_folder import proved_folder
from twoturns.cli import main
from twoturns.store.at_work import at_work, names_of_persons
from workshop import NOON, Workshop, opening, private_value, uuid7


@pytest.fixture
def folders(tmp_path):
    """Two editions: in the second a step stands otherwise and a count is another."""
    before, after = proved_folder(tmp_path / "before"), proved_folder(tmp_path / "after")
    text = (after / "procedure.yaml").read_text()
    assert text.count("edition: 1\n") == 1
    assert text.count("title: Two turns by hand") == 1
    text = text.replace("edition: 1\n", "edition: 2\n")
    text = text.replace("title: Two turns by hand", "title: Two slow turns by hand")
    (after / "procedure.yaml").write_text(text)
    return before, after


def run(*words):
    result = CliRunner().invoke(main, ["procedure", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), words
    return result.exit_code, result.output


@pytest.fixture
def worked_by(tmp_path, folders):
    """A workshop where Ada has a job open by the first edition."""
    workshop = Workshop(tmp_path / "workshop")
    code, _ = run("publish", folders[0], "--data", workshop.folder)
    assert code == 0
    mechanic = workshop.enrol("mechanic")
    workshop.store.name_person(mechanic.person, "Ada Brook", NOON)
    (row,) = workshop.store.views.editions("tiny")
    values = [private_value("vin", "TT000000000000001"), private_value("plate", "WEIR 12")]
    job = uuid7()
    opened = mechanic.write("job.opened", opening(*values, row["bundle"]), job)
    begun = mechanic.write("step.begun", {"step": "pin_in"}, job)
    assert workshop.push(opened, begun, blobs=tuple(values)).refused == []
    return workshop, job, mechanic


def test_two_folders_are_laid_side_by_side_without_a_workshop(folders):
    code, printed = run("diff", *folders)
    assert code == 0
    assert printed.startswith("A tiny drive: edition 1 -> edition 2\n")
    assert "\nTexts\n  step 4: title Two turns by hand -> Two slow turns by hand\n" in printed
    assert "To be told" not in printed


def test_with_a_workshop_it_says_who_must_be_told_and_which_jobs_are_open(folders, worked_by):
    workshop, job, _ = worked_by
    code, printed = run("diff", "tiny@1", folders[1], "--data", workshop.folder)
    assert code == 0
    assert "To be told, for they have worked by it: Ada Brook\n" in printed
    assert f"  {job}  edition 1, bay 2, since " in printed
    report = json.loads(run("diff", *folders, "--data", workshop.folder, "--json")[1])
    assert report["after"] == {"id": "tiny", "edition": 2}
    assert [change["kind"] for change in report["changes"]] == ["text"]
    assert [each["job"] for each in report["at_work"]["open_jobs"]] == [job]


def test_who_has_no_device_left_is_not_told_and_an_ended_job_is_only_counted(worked_by):
    workshop, job, mechanic = worked_by
    owner = workshop.enrol("owner")
    closing = owner.write("job.closed", {"end": "done"}, job, after=[])
    assert workshop.push(closing).refused == []
    workshop.store.ledger.state("device.revoked", {"device": mechanic.id, "because": "left"}, NOON)
    found = at_work(workshop.store, "tiny")
    assert (found.open_jobs, found.closed) == ((), 1)
    assert mechanic.person not in found.persons
    assert names_of_persons(workshop.store)[mechanic.person] == "Ada Brook"


def test_publishing_a_newer_edition_says_what_it_changes_and_whom_it_concerns(folders, worked_by):
    workshop, job, _ = worked_by
    code, printed = run("publish", folders[1], "--data", workshop.folder)
    assert code == 0
    told = printed.partition("\nEdition 1 -> edition 2\n")[2]
    assert "Two turns by hand -> Two slow turns by hand" in told
    assert job in told
    again = run("publish", folders[1], "--data", workshop.folder)[1]
    assert "Edition 1 -> edition 2" not in again


def test_what_is_no_edition_is_refused_with_those_that_are(folders, worked_by):
    workshop = worked_by[0]
    code, printed = run("diff", "tiny@7", folders[1], "--data", workshop.folder)
    assert (code, "Published: 1" in printed) == (2, True)
    assert run("diff", "tiny@1", folders[1])[0] == 2
    assert run("diff", "nowhere", folders[1])[0] == 2
